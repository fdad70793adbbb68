"""Starts the path tracer: on a CUDA GPU when there is one, else on the CPU.

Mitsuba fixes its variant for the whole process; it is imported nowhere but here.
"""

from __future__ import annotations

import ctypes.util
import os
from functools import cache
from typing import Any

from spikecheck.errors import RenderError

GPU, CPU = "cuda_ad_rgb", "llvm_ad_rgb"
_LLVM_VERSIONS = range(21, 13, -1)
_CURE = "Install the extra `render` and, on a machine without a GPU, libLLVM (Debian: libllvm19)"


@cache
def start(variant: str = "auto") -> Any:  # noqa: ANN401  (a module that may not be there)
    """Return Mitsuba with its variant set.

    Parameters
    ----------
    variant
        A Mitsuba variant with array types, such as ``llvm_ad_rgb``; ``auto`` takes the GPU's if
        a GPU answers, else the CPU's.

    Raises
    ------
    RenderError
        If Mitsuba is not installed or none of the variants starts.
    """
    try:
        import drjit
        import mitsuba
    except ImportError as error:
        raise RenderError(f"Mitsuba is not there ({error})", cure=_CURE) from error
    _point_at_llvm()
    wanted = (GPU, CPU) if variant == "auto" else (variant,)
    for name in wanted:
        if name == GPU and not drjit.has_backend(drjit.JitBackend.CUDA):
            continue
        if name == CPU and not drjit.has_backend(drjit.JitBackend.LLVM):
            continue
        if name in mitsuba.variants():
            mitsuba.set_variant(name)
            mitsuba.set_log_level(mitsuba.LogLevel.Error)
            return mitsuba
    raise RenderError(f"none of {', '.join(wanted)} starts here", cure=_CURE)


def _point_at_llvm() -> None:
    """Tell Dr.Jit where libLLVM is, unless the user did: it looks for few file names only."""
    if os.environ.get("DRJIT_LIBLLVM_PATH"):
        return
    for version in _LLVM_VERSIONS:
        library = ctypes.util.find_library(f"LLVM-{version}") or _with_minor(version)
        if library:
            os.environ["DRJIT_LIBLLVM_PATH"] = library
            return


def _with_minor(version: int) -> str | None:
    for name in (f"libLLVM.so.{version}.1", f"libLLVM-{version}.so.1"):
        try:
            ctypes.CDLL(name)
        except OSError:
            continue
        return name
    return None


def limit_threads(count: int) -> None:
    """Let this process compute on so many threads: others render beside it.

    Raises
    ------
    RenderError
        If Mitsuba is not installed.
    """
    import cv2

    cv2.setNumThreads(1)
    try:
        import drjit
    except ImportError as error:
        raise RenderError(f"Mitsuba is not there ({error})", cure=_CURE) from error
    drjit.set_thread_count(count)
