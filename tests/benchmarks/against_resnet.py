"""How much faster a whole check is than an off-the-shelf network alone, on the same cores.

Run it with ``python -m tests.benchmarks.against_resnet`` from the top of the repository. It needs
torch (the extra ``train``). The other network is a ResNet-50 FPN for instance segmentation at
800 x 1066 with random weights and without the parts whose time depends on what is in the picture,
so its time is a lower bound: see :mod:`tests.benchmarks.resnet_fpn`.
"""

from __future__ import annotations

import argparse
import importlib.util
import sys
import time
from statistics import median
from typing import TYPE_CHECKING, Any

from tests.benchmarks.one_photo import measure
from tests.benchmarks.picture import ROWS, draw_photo
from tests.benchmarks.processes import use_cores
from tests.benchmarks.report import add_json_option, keep, show

if TYPE_CHECKING:
    from collections.abc import Callable

GOAL = 7.0  # times faster


def resnet_ms(*, cores: int, repeats: int, rows: int, columns: int) -> list[float]:
    """Return the time of each run after a first one, ms."""
    import torch

    from tests.benchmarks.resnet_fpn import ResNetFpn, inputs

    torch.set_num_threads(cores)
    torch.manual_seed(0)
    network, given = ResNetFpn().eval(), inputs(rows, columns)
    with torch.inference_mode():
        return _timed(lambda: network(*given), repeats)


def _timed(work: Callable[[], Any], repeats: int) -> list[float]:
    work()
    samples = []
    for _ in range(repeats):
        started = time.perf_counter()
        work()
        samples.append((time.perf_counter() - started) * 1000)
    return samples


def main(arguments: list[str] | None = None) -> None:
    parser = argparse.ArgumentParser(prog="against_resnet", description=__doc__)
    parser.add_argument("--rows", type=int, default=ROWS, help="height of the photo, px")
    parser.add_argument("--cores", type=int, default=2, help="cores to use")
    parser.add_argument("--repeats", type=int, default=5, help="runs after the first")
    parser.add_argument("--resnet-rows", type=int, default=800, help="height of its picture, px")
    add_json_option(parser)
    options = parser.parse_args(arguments)
    if importlib.util.find_spec("torch") is None:
        sys.stdout.write("skipped: torch is not installed; it comes with the extra 'train'\n")
        return
    use_cores(options.cores)
    columns = round(options.resnet_rows * 1066 / 800)
    resnet = resnet_ms(
        cores=options.cores, repeats=options.repeats, rows=options.resnet_rows, columns=columns
    )
    own = measure(draw_photo(options.rows), cores=options.cores, repeats=options.repeats)
    whole, find = (own["wall_ms"][name][1:] for name in ("whole way", "  find"))
    ratio = median(resnet) / median(whole)
    figures = {
        "resnet_ms": resnet, "whole_way_ms": whole, "find_ms": find, "model": own["model"],
        "times_faster": ratio, "goal": GOAL,
    }  # fmt: skip
    show(
        f"On {options.cores} cores, random weights in the network compared with: a lower bound",
        ["ms", "median", "best"],
        [
            [f"ResNet-50 FPN, {options.resnet_rows} x {columns}, torch",
             f"{median(resnet):.0f}", f"{min(resnet):.0f}"],
            [f"whole check of {options.rows} x {options.rows * 3 // 4} px ({own['model']})",
             f"{median(whole):.0f}", f"{min(whole):.0f}"],
            ["  of it find", f"{median(find):.0f}", f"{min(find):.0f}"],
        ],
    )  # fmt: skip
    show("Compared", ["", ""], [[f"times faster (goal {GOAL:.0f})", f"{ratio:.1f}"]])
    keep(figures, options.json)


if __name__ == "__main__":
    main()
