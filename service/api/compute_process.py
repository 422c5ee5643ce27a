"""What a compute process runs: jobs come in over a socket, answers go out; one at a time.

A frame is two lengths (4 bytes each), a head as JSON and a body of plain bytes. Nothing is pickled
after the start, and standard output carries no protocol, so a library may print on it.
"""

from __future__ import annotations

import ctypes
import gc
import importlib
import os
import resource
import signal
import socket
import struct
import traceback
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from typing import Any, Final, Protocol

import orjson

from service.api.starting import called
from service.compute import Outcome, Picked
from service.products import registry
from service.request.model import job_model

LENGTHS: Final = struct.Struct(">II")
BORN: Final = "born"
READY: Final = "ready"
BEGUN: Final = "begun"
ESCAPED: Final = "Escaped"
_SPARE_SECONDS: Final = 2.0
_MOST_KEPT: Final = 16_000_000
"""Bytes by which a process may have grown before it gives back what lies free in it."""

_GIVE_WAY: Final = 5
"""How much nicer than the others a process is that takes heavy jobs."""

WARM_UP: Final = (
    b'{"unit":"in","surfaces":[{"id":"loft","rectangle":[96,48],"supports":{"direction":90,'
    b'"first":16,"spacing":16,"thickness":1.5},"layers":[{"id":"boards","kind":"boarding",'
    b'"product":"pine","direction":0}]}],"products":[{"id":"pine","form":"board","profile":'
    b'"tongue_and_groove","ends":"square","overall":5.375,"coverage":5.125,"thickness":0.75,'
    b'"stock":[{"length":"8 ft"},{"length":"12 ft"}]}]}'
)
"""A small job that makes a process import and build all that the first request needs."""

Run = Callable[[bytes, Picked], Outcome]


@dataclass(frozen=True, slots=True)
class Task:
    """What to run, as `module:function`; further folders of kinds; address space in bytes."""

    function: str
    kinds_path: tuple[str, ...]
    memory: int


class _Stream(Protocol):
    def read(self, size: int, /) -> bytes: ...
    def write(self, data: bytes, /) -> int: ...
    def flush(self) -> None: ...


def frame(head: dict[str, Any], body: bytes) -> bytes:
    """`head` and `body` as they go over the socket."""
    written = orjson.dumps(head)
    return LENGTHS.pack(len(written), len(body)) + written + body


def serve(channel: socket.socket, task: Task, heavy: bool, run: Run | None = None) -> None:
    """Tell our number, warm up, say so, then answer jobs until the other side closes.

    `heavy` says whether heavy jobs are taken too: the process then gives way to those that do not.
    `run` is what was prepared for `task` before this process was forked.
    """
    _settle(task, heavy)
    stream = channel.makefile("rwb")
    with suppress(ConnectionError):  # whoever asked is gone: there is nobody to tell
        _write(stream, {"kind": BORN, "pid": os.getpid()}, b"")
        try:
            run = run or prepared(task)
            run(WARM_UP, Picked())
        except Exception as fault:
            _write(stream, _head(ESCAPED), _trace(fault).encode())
            return
        gc.collect()
        gc.freeze()
        gc.set_threshold(50_000, 20, 50)
        _write(stream, _head(READY), b"")
        _answer_all(stream, run)


def _answer_all(stream: _Stream, run: Run) -> None:
    """Answer one job after the other until the other side closes."""
    at_start = _resident()
    while (job := _read(stream)) is not None:
        head, body = job
        _write(stream, _head(BEGUN), b"")
        # The kernel ends this process if its owner died and cannot: no orphan outlives a job.
        signal.setitimer(signal.ITIMER_REAL, head["seconds"] + _SPARE_SECONDS)
        outcome = _outcome(run, body, Picked(**head["picked"]))
        signal.setitimer(signal.ITIMER_REAL, 0)
        head = _head(outcome.kind, outcome.media, digest=outcome.digest, gap=outcome.gap)
        _write(stream, head, outcome.body)
        if _resident() > at_start + _MOST_KEPT:
            _give_back()


def _resident() -> int:
    """Bytes of memory that this process holds; 0 where the system does not say."""
    with suppress(OSError), open("/proc/self/statm", "rb") as counts:
        return int(counts.read().split()[1]) * resource.getpagesize()
    return 0


def _give_back() -> None:
    """Give what a large job left free back to the system, where the C library can."""
    gc.collect()
    trim = getattr(ctypes.CDLL(None), "malloc_trim", None)
    if trim is not None:
        trim(0)


def _head(kind: str, media: str = "", **more: Any) -> dict[str, Any]:
    """The members of an Outcome, but for its body."""
    return {"kind": kind, "media": media, **more}


def _settle(task: Task, heavy: bool) -> None:
    """Limits and signals. Some signals reach every process at once: the owner alone heeds them."""
    called("takeoff-compute")
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.signal(signal.SIGTERM, signal.SIG_IGN)
    signal.signal(signal.SIGALRM, signal.SIG_DFL)
    if heavy:
        os.nice(_GIVE_WAY)
    resource.setrlimit(resource.RLIMIT_AS, (task.memory, task.memory))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def loaded(task: Task) -> Run:
    """What `task` names, with every kind and the shape of a request read."""
    registry.add_folders(task.kinds_path)
    job_model()
    module, name = task.function.split(":")
    run: Run = getattr(importlib.import_module(module), name)
    return run


def prepared(task: Task) -> Run:
    """What `task` names, with all read and built that an answer in any form needs."""
    run = loaded(task)
    for media in ("application/json", "image/svg+xml", "text/csv", "text/plain"):
        run(WARM_UP, Picked(media=media))
    return run


def _outcome(run: Run, body: bytes, picked: Picked) -> Outcome:
    """The outcome of one job; a fault of ours is an outcome too, and a full memory ends us."""
    try:
        return run(body, picked)
    except MemoryError:
        os._exit(71)
    except Exception as fault:
        return Outcome(_name(fault), "text/plain", _trace(fault).encode())


def _name(fault: Exception) -> str:
    return "LawBroken" if type(fault).__name__ == "LawBroken" else ESCAPED


def _trace(fault: Exception) -> str:
    """Where a fault came through; its message may hold a caller's text, so only a law's is kept."""
    places = traceback.extract_tb(fault.__traceback__)[-8:]
    trail = " < ".join(f"{os.path.basename(p.filename)}:{p.lineno} {p.name}" for p in places[::-1])
    said = f" {str(fault)[:300]!r}" if _name(fault) == "LawBroken" else ""
    return f"{type(fault).__name__}{said} at {trail}"


def _read(stream: _Stream) -> tuple[dict[str, Any], bytes] | None:
    lengths = stream.read(LENGTHS.size)
    if len(lengths) < LENGTHS.size:
        return None
    head, body = LENGTHS.unpack(lengths)
    return orjson.loads(stream.read(head)), stream.read(body)


def _write(stream: _Stream, head: dict[str, Any], body: bytes) -> None:
    stream.write(frame(head, body))
    stream.flush()
