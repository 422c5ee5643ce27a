"""The process that all compute processes are forked from: what it has read and built, they share.

It is asked over one socket, of which each server process holds the other end: a byte says which
sort is wanted, and with it comes the end of a socket on which the new process is to answer.
Nothing else comes back: the new process tells its number itself, and where there is none, that
socket closes. When nobody is left who could ask, it ends.
"""

from __future__ import annotations

import gc
import logging
import multiprocessing
import os
import signal
import socket
from contextlib import suppress
from functools import cache
from typing import Final

from service.api import compute_process
from service.api.compute_process import Run, Task
from service.api.settings import Settings
from service.api.starting import allow_one_thread, called

_LOG: Final = logging.getLogger("service.api")
_LIGHT: Final = b"l"
_HEAVY: Final = b"h"


def task_of(settings: Settings) -> Task:
    """What the compute processes run under these settings."""
    return Task(settings.function, settings.kinds_path, settings.memory_megabytes * 1_000_000)


class Forks:
    """The end of a fork server's socket at which it is asked."""

    def __init__(self, asking: socket.socket) -> None:
        asking.setblocking(False)  # a fork server that hangs must not hang those who ask
        self._asking = asking

    def fork(self, heavy: bool) -> socket.socket | None:
        """The socket of a new process, which takes heavy jobs or none; None: nobody is asked."""
        ours, theirs = socket.socketpair()
        try:
            socket.send_fds(self._asking, [_HEAVY if heavy else _LIGHT], [theirs.fileno()])
        except OSError as fault:
            _LOG.error("no compute process can be asked for: %s", type(fault).__name__)
            ours.close()
            return None
        finally:
            theirs.close()
        return ours

    def close(self) -> None:
        """Ask no more."""
        self._asking.close()


@cache
def own(task: Task) -> Forks:
    """A fork server of this process's own, which may have threads: it is a new interpreter."""
    allow_one_thread()
    asking, theirs = socket.socketpair()
    context = multiprocessing.get_context("spawn")
    context.Process(target=tend, args=(theirs, task), daemon=True).start()
    theirs.close()
    return Forks(asking)


def tend(requests: socket.socket, task: Task) -> None:
    """Read and warm up what the processes are to run, then fork one for each request."""
    called("takeoff-forks")
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # it reaches every process; the owners heed it
    signal.signal(signal.SIGCHLD, signal.SIG_IGN)  # the system then forgets a dead child at once
    os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
    run: Run | None = None
    with suppress(Exception):  # each process tries again, and tells its owner why it fails
        run = compute_process.prepared(task)
    gc.collect()
    gc.freeze()
    while True:
        sort, ends, _, _ = socket.recv_fds(requests, 1, 1)
        if not sort:
            return
        for end in ends:
            with socket.socket(fileno=end) as channel:
                _fork(channel, requests, task, run, sort == _HEAVY)


def _fork(
    channel: socket.socket, requests: socket.socket, task: Task, run: Run | None, heavy: bool
) -> None:
    """A new process on `channel`; where the system gives none, the channel is closed."""
    with suppress(OSError):
        if os.fork():
            return
        try:
            requests.close()
            signal.signal(signal.SIGCHLD, signal.SIG_DFL)
            compute_process.serve(channel, task, heavy, run)
        except BaseException:
            _LOG.exception("a compute process failed")
        finally:
            os._exit(0)
