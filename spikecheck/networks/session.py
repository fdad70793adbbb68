"""ONNX Runtime sessions: quiet, few threads, one a process and network.

A session is made at the first image, in the process that shows it: sessions hold threads and do
not survive a fork, nor can they be pickled. One session may be used by several threads at once.
"""

from __future__ import annotations

import os
import threading
from typing import TYPE_CHECKING

from spikecheck.errors import ModelError
from spikecheck.language import N_, _

if TYPE_CHECKING:
    from pathlib import Path

    import onnxruntime

    from spikecheck.networks.manifest import Manifest

CURE = N_("Install spikecheck again, or make the network anew")
_SILENT = 4  # only what ends the process
_lock = threading.Lock()
_sessions: dict[tuple[int, Path, str, int], onnxruntime.InferenceSession] = {}


def session_of(path: Path, manifest: Manifest, *, threads: int) -> onnxruntime.InferenceSession:
    """Return this process's session of a network file.

    Parameters
    ----------
    path
        The ``model.onnx``, its digest checked.
    manifest
        Its manifest.
    threads
        Threads that share the work on one image, at least 1.

    Raises
    ------
    ModelError
        If the file is no network that can run here, or gives other outputs than its manifest says.
    """
    key = (os.getpid(), path, manifest.sha256, threads)
    with _lock:
        if key not in _sessions:
            _sessions[key] = _opened(path, manifest, threads=threads)
        return _sessions[key]


def _opened(path: Path, manifest: Manifest, *, threads: int) -> onnxruntime.InferenceSession:
    import onnxruntime
    from onnxruntime.capi import onnxruntime_pybind11_state as faults

    options = onnxruntime.SessionOptions()
    options.intra_op_num_threads = threads
    options.inter_op_num_threads = 1
    options.log_severity_level = _SILENT
    options.enable_mem_pattern = False  # strips differ in length: plans for one would pile up
    options.add_session_config_entry("session.intra_op.allow_spinning", "0")
    try:
        session = onnxruntime.InferenceSession(
            str(path), options, providers=["CPUExecutionProvider"]
        )
    except (
        faults.Fail, faults.InvalidArgument, faults.InvalidGraph, faults.InvalidProtobuf,
        faults.NoModel, faults.NoSuchFile, faults.NotImplemented, faults.RuntimeException,
    ) as error:  # fmt: skip
        first = str(error).strip().splitlines()[0]
        raise ModelError(
            _("cannot be run ({first})").format(first=first), where=str(path), cure=_(CURE)
        ) from error
    given = {output.name for output in session.get_outputs()}
    missing = [name for name in manifest.outputs if name not in given]
    if missing:
        raise ModelError(
            _("does not give {missing}").format(missing=", ".join(missing)),
            where=str(path),
            cure=_(CURE),
        )
    if len(session.get_inputs()) != 1:
        raise ModelError(_("needs exactly one input"), where=str(path), cure=_(CURE))
    return session
