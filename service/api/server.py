"""The HTTP server: a listener of our own, one or several server processes, a bounded farewell."""

from __future__ import annotations

import math
import socket
from typing import Final

import uvicorn
from uvicorn.supervisors import Multiprocess

from service.api.protocol import GuardedHttp
from service.api.settings import Settings

_BACKLOG: Final = 2048
_SPARE_SECONDS: Final = 3


def run(factory: str, settings: Settings) -> int:
    """Serve the application that `factory` (`module:function`) makes; gives the exit status."""
    listener = listening(settings.host, settings.port)
    host, port = listener.getsockname()[:2]
    print(f"listening on http://{host}:{port}", flush=True)
    config = _config(factory, settings)
    if settings.workers > 1:
        Multiprocess(config, sockets=[listener]).run()
        return 0
    server = uvicorn.Server(config)
    server.run(sockets=[listener])
    return 0 if server.started else 3


def _config(factory: str, settings: Settings) -> uvicorn.Config:
    return uvicorn.Config(
        factory,
        factory=True,
        workers=settings.workers,
        http=GuardedHttp,
        loop="asyncio",
        ws="none",
        lifespan="on",
        log_level="warning",
        access_log=False,
        server_header=False,
        proxy_headers=False,
        # Every request ends by its own deadline; this is for a client that does not read.
        timeout_graceful_shutdown=math.ceil(settings.deadline_seconds) + _SPARE_SECONDS,
    )


def listening(host: str, port: int) -> socket.socket:
    """A listening socket, TCP_NODELAY: on one made without it each later answer waits 40 ms."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    listener = socket.socket(family, socket.SOCK_STREAM)
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    listener.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
    listener.bind((host, port))
    listener.listen(_BACKLOG)
    return listener
