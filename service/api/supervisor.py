"""Several server processes on one listener: each is replaced when it ends or no longer answers.

A server process writes a byte into its pipe about each second, from its event loop. The pipe also
tells it when the supervisor is gone: then nobody would end it, so it stops by itself.
"""

from __future__ import annotations

import logging
import multiprocessing
import os
import shutil
import signal
import socket
import tempfile
import time
from collections.abc import Callable
from multiprocessing.connection import Connection, wait
from multiprocessing.context import SpawnProcess
from types import FrameType
from typing import Final

from prometheus_client import multiprocess

from service.api.metrics import FOLDER

_LOG: Final = logging.getLogger("service.api")
_CONTEXT: Final = multiprocessing.get_context("spawn")
_LOOK_SECONDS: Final = 0.2
_FIRST_SECONDS: Final = 60.0
_AGAIN_SECONDS: Final = 1.0
CANNOT_START: Final = 3

Target = Callable[[socket.socket, Connection], None]


class _Server:
    """One server process as the supervisor sees it."""

    def __init__(self, target: Target, listener: socket.socket, patience: float) -> None:
        self._patience = patience
        self._pipe, theirs = _CONTEXT.Pipe(duplex=False)
        self.process: SpawnProcess = _CONTEXT.Process(target=target, args=(listener, theirs))
        self.process.start()
        theirs.close()
        self.was_heard = False
        self._until = time.monotonic() + _FIRST_SECONDS

    def listen(self) -> None:
        """Take in what it has written."""
        try:
            while self._pipe.poll():
                self._pipe.recv_bytes()
                self.was_heard = True
                self._until = time.monotonic() + self._patience
        except (EOFError, OSError):
            return

    @property
    def is_lost(self) -> bool:
        """Whether it has ended, or has not been heard for too long."""
        return not self.process.is_alive() or time.monotonic() > self._until

    def remove(self) -> None:
        """End it now, and forget what it counted as being there."""
        self.process.kill()
        self.process.join()
        self._pipe.close()
        multiprocess.mark_process_dead(self.process.pid)  # type: ignore[no-untyped-call]  # no types


class Supervisor:
    """Keeps `count` server processes running until it is told to stop.

    One that has not been heard for `patience` seconds is lost; `stop_seconds` is the time that they
    have to stop by themselves.
    """

    def __init__(
        self,
        target: Target,
        listener: socket.socket,
        count: int,
        patience: float,
        stop_seconds: float,
    ) -> None:
        self._target = target
        self._listener = listener
        self._count = count
        self._patience = patience
        self._stop_seconds = stop_seconds
        self._servers: list[_Server] = []
        self._stopping = False

    def run(self) -> int:
        """Run until SIGTERM or Ctrl-C; gives the exit status: 0, or 3 where none could start."""
        for number in (signal.SIGTERM, signal.SIGINT):
            signal.signal(number, self._stop)
        folder = tempfile.mkdtemp(prefix="takeoff-metrics-")
        os.environ[FOLDER] = folder
        try:
            return self._supervised()
        finally:
            self._end()
            shutil.rmtree(folder, ignore_errors=True)

    def _stop(self, number: int, frame: FrameType | None) -> None:
        self._stopping = True

    def _supervised(self) -> int:
        self._servers = [self._started() for _ in range(self._count)]
        has_run = False
        while not self._stopping:
            wait([server.process.sentinel for server in self._servers], _LOOK_SECONDS)
            for server in self._servers:
                server.listen()
            has_run = has_run or any(server.was_heard for server in self._servers)
            lost = [server for server in self._servers if server.is_lost]
            if lost and not has_run:
                return CANNOT_START
            for server in lost:
                self._replace(server)
        return 0

    def _started(self) -> _Server:
        return _Server(self._target, self._listener, self._patience)

    def _replace(self, lost: _Server) -> None:
        if self._stopping:
            return
        _LOG.error("a server process was lost; another takes its place")
        lost.remove()
        if not lost.was_heard:
            time.sleep(_AGAIN_SECONDS)
        self._servers[self._servers.index(lost)] = self._started()

    def _end(self) -> None:
        """Tell all to stop, close the door, and kill those that are not gone in time."""
        for server in self._servers:
            server.process.terminate()
        self._listener.close()
        until = time.monotonic() + self._stop_seconds
        for server in self._servers:
            server.process.join(max(0.0, until - time.monotonic()))
            server.remove()
