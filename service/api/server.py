"""The HTTP server: a listener of our own, one or several server processes, an orderly end.

At SIGTERM a server process first refuses new work (503, Stopping) and says so at /health/ready,
while what it has goes on to its end; then it shuts the door and is gone, with status 0.
"""

from __future__ import annotations

import gc
import importlib
import resource
import socket
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from functools import partial
from multiprocessing.connection import Connection
from typing import Final

import uvicorn
from fastapi import FastAPI

from service.api import logs
from service.api.compute_pool import ComputePool
from service.api.compute_process import loaded
from service.api.fork_server import Forks, task_of, tend
from service.api.protocol import GuardedHttp
from service.api.settings import Settings
from service.api.starting import Stop, called
from service.api.supervisor import CANNOT_START, Supervisor

_BACKLOG: Final = 2048
_SPARE_SECONDS: Final = 1.0
_CLOSE_SECONDS: Final = 2
_STOP_SECONDS: Final = 5.0
"""Past the deadline of the last job: to close connections and end the compute processes."""
_TICKS_BETWEEN_BEATS: Final = 10


def run(factory: str, settings: Settings, stop: Stop) -> int:
    """Serve the application that `factory` (`module:function`) makes; gives the exit status."""
    _raise_limits()
    logs.configure(settings.log_level)
    listener = listening(settings.host, settings.port)
    host, port = listener.getsockname()[:2]
    print(f"listening on http://{f'[{host}]' if ':' in host else host}:{port}", flush=True)
    module, name = factory.split(":")
    made = getattr(importlib.import_module(module), name)
    task = task_of(settings)
    with suppress(Exception):  # each process tries again, and says why it fails
        loaded(task)
    stop_seconds = settings.drain_seconds + settings.deadline_seconds + _STOP_SECONDS
    supervisor = Supervisor(
        partial(_serve, made, settings), partial(tend, task=task), listener,
        settings.workers, settings.silent_seconds, stop_seconds,
    )  # fmt: skip
    # What is there so far is never looked at again in search of garbage, so it stays shared.
    gc.collect()
    gc.freeze()
    return supervisor.run(stop)


def _serve(
    made: Callable[[Settings], FastAPI], settings: Settings, listener: socket.socket, forks: Forks,
    beat: Connection,
) -> None:  # fmt: skip
    """Serve in this process until it is told to stop."""
    called("takeoff-serve")
    app = made(settings)
    app.state.pool.forks = forks
    server = Server(config(app, settings), app.state.pool, settings, beat)
    server.run(sockets=[listener])
    raise SystemExit(0 if server.started else CANNOT_START)


def config(app: FastAPI, settings: Settings) -> uvicorn.Config:
    """How the server library is to serve `app`."""
    return uvicorn.Config(
        app,
        http=type("Http", (GuardedHttp,), {"most_connections": settings.connections}),
        loop="asyncio",
        ws="none",
        lifespan="on",
        log_config=None,
        access_log=False,
        server_header=False,
        proxy_headers=bool(settings.trusted_proxies),
        forwarded_allow_ips=list(settings.trusted_proxies),
        # Every request has ended by its own deadline; this is for a client that does not read.
        timeout_graceful_shutdown=_CLOSE_SECONDS,
    )


class Server(uvicorn.Server):
    """The library's server, with an end in two steps, and a beat for the supervisor."""

    def __init__(
        self,
        config: uvicorn.Config,
        pool: ComputePool,
        settings: Settings,
        beat: Connection | None = None,
    ) -> None:
        super().__init__(config)
        self._pool = pool
        self._settings = settings
        self._beat = beat
        self._draining_since: float | None = None

    async def on_tick(self, counter: int) -> bool:
        """Called ten times a second; gives whether to shut the door."""
        if counter % _TICKS_BETWEEN_BEATS == 0:
            self._pool.look()
            if self._beat is not None:
                self._tell(self._beat)
        return await super().on_tick(counter) and self._is_drained()

    def _tell(self, beat: Connection) -> None:
        try:
            beat.send_bytes(b".")
        except OSError:  # the supervisor is gone
            self.should_exit = True

    def _is_drained(self) -> bool:
        """Refuse new work from now on; gives whether what there was has ended."""
        now = time.monotonic()
        if self._draining_since is None:
            self._draining_since = now
            self._pool.drain()
        waited = now - self._draining_since
        if self.force_exit or waited > self._settings.deadline_seconds + _SPARE_SECONDS:
            return True
        return waited >= self._settings.drain_seconds and self._pool.admitted == 0

    @contextmanager
    def capture_signals(self) -> Iterator[None]:
        """The library raises each signal again at the end; a stop that was asked for is heeded."""
        with super().capture_signals():
            yield
            self._captured_signals.clear()


def _raise_limits() -> None:
    """As many open connections as the system lets this process have."""
    _, most = resource.getrlimit(resource.RLIMIT_NOFILE)
    resource.setrlimit(resource.RLIMIT_NOFILE, (most, most))


def listening(host: str, port: int) -> socket.socket:
    """A listening socket, TCP_NODELAY: on one made without it each later answer waits 40 ms."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    listener = socket.socket(family, socket.SOCK_STREAM)
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    listener.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
    listener.bind((host, port))
    listener.listen(_BACKLOG)
    return listener
