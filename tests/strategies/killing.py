"""A bulk run in a process of its own that is killed outright once it has answered so many lines."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

_MOST_SECONDS = 120


def killed_after(jobs: Path, out: Path, lines: int, *more: str) -> list[int]:
    """Answer `jobs` into `out` until so many lines are there; gives the processes that worked."""
    command = [sys.executable, "-m", "service", "bulk", str(jobs), str(out), *more]
    run = subprocess.Popen(command, stderr=subprocess.DEVNULL, stdout=subprocess.DEVNULL)
    until = time.monotonic() + _MOST_SECONDS
    while not out.exists() or out.read_bytes().count(b"\n") < lines:
        assert run.poll() is None, "it ended before it was killed"
        assert time.monotonic() < until
        time.sleep(0.01)
    family = descendants(run.pid)
    os.kill(run.pid, signal.SIGKILL)
    run.wait()
    return family


def descendants(process: int) -> list[int]:
    """The children of a process, and theirs."""
    kin = Path(f"/proc/{process}/task/{process}/children")
    children = [int(one) for one in kin.read_text().split()] if kin.exists() else []
    return [*children, *(one for child in children for one in descendants(child))]


def alive(processes: list[int], seconds: float = 10.0) -> list[int]:
    """Which of them are still there after a while; none, as soon as none is."""
    until = time.monotonic() + seconds
    while left := [one for one in processes if _runs(one)]:
        if time.monotonic() > until:
            return left
        time.sleep(0.05)
    return []


def _runs(process: int) -> bool:
    try:
        state = Path(f"/proc/{process}/stat").read_text().rsplit(")", 1)[1].split()[0]
    except (FileNotFoundError, ProcessLookupError):
        return False
    return state not in "ZX"
