"""What comes before the service is read: when to stop, and what its libraries are told.

To read everything takes a second, and a stop may be asked for in it. The libraries look only once,
when they are read, at how many threads they may have, and at where the counters lie that several
processes share.
"""

from __future__ import annotations

import os
import shutil
import signal
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from types import FrameType
from typing import Final

FOLDER: Final = "PROMETHEUS_MULTIPROC_DIR"
STOPS: Final = (signal.SIGTERM, signal.SIGINT)
_ONE: Final = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS")


class Stop:
    """Whether SIGTERM or Ctrl-C has come."""

    def __init__(self) -> None:
        self.asked = False

    def heed(self) -> None:
        """Take note of both from now on, instead of ending at once."""
        for number in STOPS:
            signal.signal(number, self._ask)

    def _ask(self, number: int, frame: FrameType | None) -> None:
        self.asked = True


@contextmanager
def starting() -> Iterator[Stop]:
    """Within it the service may be read and run."""
    stop = Stop()
    stop.heed()
    called("takeoff")
    allow_one_thread()
    folder = os.environ[FOLDER] = tempfile.mkdtemp(prefix="takeoff-metrics-")
    try:
        yield stop
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def allow_one_thread() -> None:
    """One thread for each process: they share the machine among themselves, and can be forked."""
    for name in _ONE:
        os.environ.setdefault(name, "1")


def called(name: str) -> None:
    """Have the system list this process under `name`, of at most 15 letters, where it can."""
    with suppress(OSError):
        Path("/proc/self/comm").write_text(name)
