"""Several server processes on one listener: each is replaced when it ends or no longer answers.

A server process writes a byte into its pipe about each second, from its event loop. The pipe also
tells it when the supervisor is gone: then nobody would end it, so it stops by itself.

All are forks of the supervisor, which has read the whole service and has no threads, and so is the
fork server of the compute processes: what none of them changes lies in memory once.
"""

from __future__ import annotations

import logging
import multiprocessing
import signal
import socket
import time
from collections.abc import Callable, Sequence
from functools import partial
from multiprocessing.connection import Connection, wait
from multiprocessing.context import ForkProcess
from typing import Final, Protocol

from prometheus_client import multiprocess

from service.api.fork_server import Forks
from service.api.starting import STOPS, Stop

_LOG: Final = logging.getLogger("service.api")
_CONTEXT: Final = multiprocessing.get_context("fork")
_LOOK_SECONDS: Final = 0.2
_FIRST_SECONDS: Final = 60.0
_AGAIN_SECONDS: Final = 1.0
CANNOT_START: Final = 3

Serve = Callable[[socket.socket, Forks, Connection], None]
Tend = Callable[[socket.socket], None]


class _Closable(Protocol):
    def close(self) -> None: ...


class _Server:
    """One server process as the supervisor sees it."""

    def __init__(
        self, serve: Callable[[Connection], None], others: Sequence[_Closable], patience: float
    ) -> None:
        self._patience = patience
        self.pipe, theirs = _CONTEXT.Pipe(duplex=False)
        self.process = _forked(partial(serve, theirs), [self.pipe, *others])
        theirs.close()
        self.was_heard = False
        self._until = time.monotonic() + _FIRST_SECONDS

    def listen(self) -> None:
        """Take in what it has written."""
        try:
            while self.pipe.poll():
                self.pipe.recv_bytes()
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
        self.pipe.close()
        multiprocess.mark_process_dead(self.process.pid)  # type: ignore[no-untyped-call]  # no types


class Supervisor:
    """Keeps `count` server processes and one fork server running until it is told to stop.

    A server that has not been heard for `patience` seconds is lost; `stop_seconds` is the time that
    they have to stop by themselves.
    """

    def __init__(
        self,
        serve: Serve,
        tend: Tend,
        listener: socket.socket,
        count: int,
        patience: float,
        stop_seconds: float,
    ) -> None:
        self._serve = serve
        self._tend = tend
        self._listener = listener
        self._count = count
        self._patience = patience
        self._stop_seconds = stop_seconds
        self._servers: list[_Server] = []
        self._forking: ForkProcess | None = None
        # Both ends stay open here, so that another fork server can go on where one was lost.
        asking, self._requests = socket.socketpair()
        self._forks = Forks(asking)

    def run(self, stop: Stop) -> int:
        """Run until a stop is asked for; gives the exit status: 0, or 3 where none could start."""
        try:
            return 0 if stop.asked else self._supervised(stop)
        finally:
            self._end()

    def _supervised(self, stop: Stop) -> int:
        self._forking = self._tended()
        self._servers = [self._started() for _ in range(self._count)]
        has_run = False
        while not stop.asked:
            wait([server.process.sentinel for server in self._servers], _LOOK_SECONDS)
            for server in self._servers:
                server.listen()
            has_run = has_run or any(server.was_heard for server in self._servers)
            lost = [server for server in self._servers if server.is_lost]
            if lost and not has_run:
                return CANNOT_START
            for server in lost:
                self._replace(server)
            if not self._forking.is_alive():
                self._replace_forking()
        return 0

    def _tended(self) -> ForkProcess:
        pipes = [server.pipe for server in self._servers]
        return _forked(partial(self._tend, self._requests), [self._listener, self._forks, *pipes])

    def _started(self) -> _Server:
        pipes = [server.pipe for server in self._servers]
        serve = partial(self._serve, self._listener, self._forks)
        return _Server(serve, [self._requests, *pipes], self._patience)

    def _replace(self, lost: _Server) -> None:
        _LOG.error("a server process was lost; another takes its place")
        lost.remove()
        if not lost.was_heard:
            time.sleep(_AGAIN_SECONDS)
        self._servers[self._servers.index(lost)] = self._started()

    def _replace_forking(self) -> None:
        _LOG.error("the fork server was lost; another takes its place")
        time.sleep(_AGAIN_SECONDS)
        self._forking = self._tended()

    def _end(self) -> None:
        """Tell all to stop, close the door, and kill those that are not gone in time."""
        for server in self._servers:
            server.process.terminate()
        self._listener.close()
        until = time.monotonic() + self._stop_seconds
        for server in self._servers:
            server.process.join(max(0.0, until - time.monotonic()))
            server.remove()
        if self._forking is not None:
            self._forking.kill()
            self._forking.join()


def _forked(run: Callable[[], None], left: Sequence[_Closable]) -> ForkProcess:
    """A fork that takes signals as a new process does, and lets go of what it must not hold.

    A signal that comes before it does so waits for it.
    """
    process = _CONTEXT.Process(target=_begin, args=(run, left))
    signal.pthread_sigmask(signal.SIG_BLOCK, STOPS)
    try:
        process.start()
    finally:
        signal.pthread_sigmask(signal.SIG_UNBLOCK, STOPS)
    return process


def _begin(run: Callable[[], None], left: Sequence[_Closable]) -> None:
    signal.signal(signal.SIGTERM, signal.SIG_DFL)
    signal.signal(signal.SIGINT, signal.default_int_handler)
    for one in left:
        one.close()
    signal.pthread_sigmask(signal.SIG_UNBLOCK, STOPS)
    run()
