"""Steps of a fit: fit to be recorded, played back as recorded, and less where that fails."""

from __future__ import annotations

import contextlib
import logging

import pytest

torch = pytest.importorskip("torch")

from torch.utils._python_dispatch import TorchDispatchMode  # noqa: E402
from torch.utils._pytree import tree_leaves  # noqa: E402

from spikecheck.model_training import recorded, steps  # noqa: E402
from spikecheck.model_training.answers import FittedAnswers  # noqa: E402
from spikecheck.model_training.encoder import Shape  # noqa: E402
from spikecheck.model_training.network_florets import FloretsNetwork  # noqa: E402
from spikecheck.model_training.network_overview import OverviewNetwork  # noqa: E402
from spikecheck.model_training.photo_set import load_sets  # noqa: E402
from spikecheck.model_training.recorded import WARM_UP, RecordedStep  # noqa: E402
from spikecheck.model_training.steps import GraphMode, Steps  # noqa: E402
from spikecheck.model_training.task_florets import FloretsTask  # noqa: E402
from spikecheck.model_training.task_overview import OverviewTask  # noqa: E402

CPU = torch.device("cpu")
SMALL = Shape(stem=4, widths=(8, 8, 8, 8), depths=(1, 1, 1, 1), merged=(8, 8, 8))


def small_florets(seed=0):
    torch.manual_seed(seed)
    return FloretsNetwork(SMALL)


class Watched(TorchDispatchMode):
    """Notes every operation with the shapes of what it takes."""

    # read a value, make a tensor of Python's numbers, or give a shape that hangs on values
    WAITING = (
        "_local_scalar_dense", "lift_fresh", "nonzero", "masked_select", "_linalg_check_errors",
        "_unique", "unique", "repeat_interleave", "bincount", "equal", "is_nonzero",
    )  # fmt: skip

    def __init__(self):
        super().__init__()
        self.seen, self.waiting = [], []

    def __torch_dispatch__(self, function, types, args=(), kwargs=None):
        name = function.overloadpacket.__name__
        tensors = [leaf for leaf in tree_leaves(args) if isinstance(leaf, torch.Tensor)]
        masked = name in {"index", "index_put", "index_put_"} and any(
            leaf.dtype == torch.bool for leaf in tree_leaves(args[1]) if leaf is not None
        )
        if name in self.WAITING or masked:
            self.waiting.append(name)
        numbers = [repr(leaf) for leaf in tree_leaves(args) if isinstance(leaf, (int, float))]
        self.seen.append((name, [tuple(t.shape) for t in tensors], numbers))
        return function(*args, **(kwargs or {}))


def watched(step, index):
    with Watched() as seen:
        step(index)
    return seen


@pytest.mark.parametrize("name", ["florets", "overview"])
def test_a_step_waits_for_nothing_and_is_always_the_same(name, packed):
    photos = load_sets([packed], name, device=CPU)
    task, network = (
        (FloretsTask(64), small_florets()) if name == "florets"
        else (OverviewTask(), OverviewNetwork(SMALL))
    )  # fmt: skip
    take = Steps(task, network, photos, 10 if name == "florets" else 3)
    index = torch.arange(10 if name == "florets" else 3) % len(photos)
    take(index)  # numbers that stay on the device are put there
    first, other = watched(take, index), watched(take, index.flip(0))
    assert first.waiting == []
    # the same operations with the same shapes and plain numbers, whatever was drawn
    assert first.seen == other.seen
    assert len(first.seen) > 500


def test_what_waits_is_noticed():
    seen = watched(lambda t: (float(t.sum()), t[t > 0], torch.tensor([1.0])), torch.ones(3))
    assert {"_local_scalar_dense", "index", "lift_fresh"} <= set(seen.waiting)


def test_the_gradients_are_those_of_the_loss_and_limited(photos):
    network, other = small_florets(), small_florets()
    index = torch.arange(4) % len(photos)
    task = FloretsTask(64)
    take = Steps(task, network, photos, 4)
    torch.manual_seed(5)
    parts = take(index)
    assert not parts.requires_grad
    torch.manual_seed(5)
    expected = task.loss(FittedAnswers(other.train()), photos, index)
    assert take.names == tuple(expected)
    assert parts.tolist() == pytest.approx([part.item() for part in expected.values()])
    sum(expected.values()).backward()
    norm = torch.nn.utils.clip_grad_norm_(other.parameters(), 5.0)
    assert torch.isfinite(norm)
    for own, plain in zip(network.parameters(), other.parameters(), strict=True):
        assert torch.allclose(own.grad, plain.grad, rtol=1e-4, atol=1e-6)
    torch.manual_seed(5)
    take(index)  # anew, not added up
    assert all(
        torch.allclose(own.grad, plain.grad, rtol=1e-3, atol=1e-5)
        for own, plain in zip(network.parameters(), other.parameters(), strict=True)
    )


class FakeGraph:
    """Stands for a CUDA graph: counts how often it is played back."""

    def __init__(self):
        self.replays = 0

    def replay(self):
        self.replays += 1


@pytest.fixture
def fake_cuda(monkeypatch):
    class Stream:
        def __init__(self, device=None):
            self.device = device

        def wait_stream(self, stream):
            assert stream is not self

    class Recording(contextlib.nullcontext):
        def __init__(self, graph, stream):
            super().__init__(graph)
            assert stream is not None

    modes = []
    monkeypatch.setattr(torch.cuda, "Stream", Stream)
    monkeypatch.setattr(torch.cuda, "current_stream", Stream)
    monkeypatch.setattr(torch.cuda, "stream", lambda _: contextlib.nullcontext())
    monkeypatch.setattr(torch.cuda, "set_sync_debug_mode", modes.append)
    monkeypatch.setattr(torch.cuda, "CUDAGraph", FakeGraph)
    monkeypatch.setattr(torch.cuda, "graph", Recording)
    return modes


def test_a_step_is_taken_three_times_then_recorded_then_played_back(fake_cuda):
    weight = torch.nn.Parameter(torch.ones(2))
    taken = []

    def step(index):
        taken.append(index)
        (weight * index.float()).sum().backward()
        return index.float().sum()[None]

    recorded_step = RecordedStep(step, [weight], 2)
    for call in range(WARM_UP):
        figures = recorded_step(torch.tensor([call, 1]))
        assert (figures.tolist(), weight.grad.tolist()) == ([call + 1], [call, 1])
        assert len(taken) == call + 1
    assert fake_cuda == ["default", "default", "default", "default", "error", "default"]
    recorded_step(torch.tensor([7, 9]))
    assert len(taken) == WARM_UP + 1  # recorded, then played back
    recorded_step(torch.tensor([8, 5]))
    assert len(taken) == WARM_UP + 1
    # always the same tensor, into which the numbers are copied
    assert all(index is taken[0] for index in taken)
    assert taken[0].tolist() == [8, 5]
    assert recorded_step._graph.replays == 2


def test_where_recording_fails_less_is_recorded_and_told(photos, monkeypatch, caplog):
    def refused(what):
        def refuse(*_):
            raise RuntimeError(f"{what} is not permitted\nsecond line")

        return refuse

    monkeypatch.setattr(steps, "RecordedStep", refused("the step"))
    monkeypatch.setattr(steps, "recorded_answers", refused("the network"))
    take = Steps(FloretsTask(32), small_florets(), photos, 2)
    take.mode = GraphMode.STEP  # as on a GPU
    with caplog.at_level(logging.WARNING):
        parts = take(torch.tensor([0, 1]))
    assert torch.isfinite(parts).all()
    assert take.mode is GraphMode.NONE
    told = [record.message for record in caplog.records]
    assert told == [
        "cannot record the step: the step is not permitted", "goes on with --graph network",
        "cannot record the network: the network is not permitted", "goes on with --graph none",
    ]  # fmt: skip


def test_a_step_that_fails_by_itself_is_no_matter_of_recording(photos):
    class Broken(FloretsTask):
        def loss(self, *_):
            raise RuntimeError("broken")

    with pytest.raises(RuntimeError, match="broken"):
        Steps(Broken(32), small_florets(), photos, 2)(torch.tensor([0, 1]))


def test_a_processor_records_nothing_and_says_so_when_asked(photos, caplog):
    assert Steps(FloretsTask(32), small_florets(), photos, 2).mode is GraphMode.NONE
    assert not caplog.records
    take = Steps(FloretsTask(32), small_florets(), photos, 2, GraphMode.STEP)
    assert take.mode is GraphMode.NONE
    assert "cpu is no GPU" in caplog.text


def test_recording_a_network_leaves_its_statistics_as_they_were(monkeypatch):
    def trial(answers, images, **options):
        assert options["allow_unused_input"]
        for _ in range(3):
            answers(*images)
        return answers

    monkeypatch.setattr(torch.cuda, "make_graphed_callables", trial)
    network = small_florets()
    answers = FittedAnswers(network).train()
    before = {name: value.clone() for name, value in network.state_dict().items()}
    recorded.recorded_answers(answers, torch.rand(2, 3, 64, 64))
    assert all(torch.equal(before[name], value) for name, value in network.state_dict().items())
