"""An application behind a real server on loopback, in a thread of this process."""

from __future__ import annotations

import socket
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager

import httpx
from fastapi import FastAPI

from service.api.server import Server, config, listening
from service.api.settings import Settings


@contextmanager
def serving(
    app: FastAPI, wait: bool = True, settings: Settings | None = None
) -> Iterator[httpx.Client]:
    """A client of `app`; with `wait`, only once the service is ready."""
    listener = listening("127.0.0.1", 0)
    settings = settings or Settings(drain_seconds=0)
    server = Server(config(app, settings), app.state.pool, settings)
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listener]})
    thread.start()
    base = f"http://127.0.0.1:{listener.getsockname()[1]}"
    try:
        with httpx.Client(base_url=base, timeout=120, trust_env=False) as client:
            while wait and client.get("/health/ready").status_code != 200:
                time.sleep(0.05)
            yield client
    finally:
        server.should_exit = True
        thread.join(30)
        listener.close()
    assert not thread.is_alive()


def exchange(client: httpx.Client, sent: bytes, seconds: float = 20) -> bytes:
    """All that the server says to raw bytes until it closes or falls silent for `seconds`."""
    address = (client.base_url.host, client.base_url.port or 80)
    received = bytearray()
    with socket.create_connection(address, timeout=seconds) as connection:
        connection.sendall(sent)
        try:
            while chunk := connection.recv(65_536):
                received += chunk
        except (TimeoutError, ConnectionResetError):
            pass
    return bytes(received)
