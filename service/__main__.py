"""`python -m service serve | demo | openapi | key`: the command line.

Heavy imports wait until they are needed: a key should not take as long as a service.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; gives the exit status."""
    asked = _parser().parse_args(arguments)
    status: int = asked.run(asked)
    return status


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python -m service", description=__doc__)
    commands = parser.add_subparsers(required=True)
    serve = commands.add_parser("serve", help="run the server")
    serve.add_argument("--host", help="address to listen on (default 127.0.0.1)")
    serve.add_argument("--port", type=int, help="port, 0 for a free one (default 8080)")
    serve.add_argument("--workers", type=int, help="server processes (default 2)")
    serve.add_argument("--compute", type=int, help="compute processes of each (default 2)")
    serve.set_defaults(run=_serve)
    demo = commands.add_parser("demo", help="take off an invented job and print it")
    demo.add_argument("job", nargs="?", help="its name, as coffers (default a porch ceiling)")
    demo.set_defaults(run=_demo)
    openapi = commands.add_parser("openapi", help="write openapi/openapi.json")
    openapi.add_argument("--check", action="store_true", help="only compare; 1 if it differs")
    openapi.set_defaults(run=_openapi)
    key = commands.add_parser(
        "key", help="make a key for a caller, and its digest for TAKEOFF_KEYS"
    )
    key.add_argument("name", help="the caller's name: 1 to 32 of a-z, 0-9, _ and -")
    key.set_defaults(run=_key)
    return parser


def _serve(asked: argparse.Namespace) -> int:
    """The settings are read from the environment, so what was asked for goes there."""
    for name, value in (
        ("HOST", asked.host), ("PORT", asked.port),
        ("WORKERS", asked.workers), ("PROCESSES", asked.compute),
    ):  # fmt: skip
        if value is not None:
            os.environ[f"TAKEOFF_{name}"] = str(value)
    from service.api.starting import starting

    with starting() as stop:
        from service.api.server import run
        from service.api.settings import Settings

        return run("service.app:create_app", Settings(), stop)


def _demo(asked: argparse.Namespace) -> int:
    from service.demo import run

    return run(asked.job)


def _openapi(asked: argparse.Namespace) -> int:
    from service.app import OPENAPI, create_app, openapi_document, write_answers

    file = OPENAPI / "openapi.json"
    if not asked.check:
        write_answers()
        file.write_bytes(openapi_document(create_app()))
        return 0
    document = openapi_document(create_app())
    if file.is_file() and file.read_bytes() == document:
        return 0
    print(f"{file} is not what the service serves; run `make spec`", file=sys.stderr)
    return 1


def _key(asked: argparse.Namespace) -> int:
    from service.api.keys import made

    key, digest = made()
    print(f"to the caller:   Authorization: Bearer {key}")
    print(f"to TAKEOFF_KEYS: {asked.name}:{digest}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
