"""`python -m service serve | demo | bulk | openapi | key`: the command line.

Heavy imports wait until they are needed: a key should not take as long as a service.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from pathlib import Path


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
    _add_bulk(commands)
    openapi = commands.add_parser("openapi", help="write openapi/openapi.json")
    openapi.add_argument("--check", action="store_true", help="only compare; 1 if it differs")
    openapi.set_defaults(run=_openapi)
    key = commands.add_parser(
        "key", help="make a key for a caller, and its digest for TAKEOFF_KEYS"
    )
    key.add_argument("name", help="the caller's name: 1 to 32 of a-z, 0-9, _ and -")
    key.set_defaults(run=_key)
    return parser


def _add_bulk(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    bulk = commands.add_parser("bulk", help="answer a file of jobs, one a line")
    bulk.add_argument("jobs", type=Path, help="NDJSON: on each line a job of POST /v1/takeoffs; "
                      "or .csv: on each row a room of /v1/rows")  # fmt: skip
    bulk.add_argument(
        "answers", type=Path,
        help="to be written: .ndjson, on each line its answer or its problem; .parquet, the "
        "rows of the orders as columns; for a sheet .csv, the rows with their figures",
    )  # fmt: skip
    bulk.add_argument(
        "--processes", type=int, default=os.cpu_count() or 1, help="at once (default: each core)"
    )
    bulk.add_argument("--scheduler", help="address of a Dask scheduler whose workers do the work")
    bulk.add_argument("--resume", action="store_true", help="go on with answers that are begun")
    bulk.add_argument(
        "--seconds", type=int, default=60,
        help="processor time that one job may take before it is given up (default 60)",
    )  # fmt: skip
    bulk.add_argument(
        "--line-bytes", type=int, default=1_000_000, help="longest line (default 1000000)"
    )
    bulk.set_defaults(run=_bulk)


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


def _bulk(asked: argparse.Namespace) -> int:
    from service.api.starting import allow_one_thread

    allow_one_thread()
    from service.bulk.command import Asked, run
    from service.bulk.lines import Bounds

    bounds = Bounds(asked.line_bytes, asked.seconds)
    return run(
        Asked(asked.jobs, asked.answers, asked.processes, asked.scheduler, asked.resume, bounds)
    )


def _openapi(asked: argparse.Namespace) -> int:
    from service.app import OPENAPI, create_app, openapi_document, write_answers

    _let_solver_greet()
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


def _let_solver_greet() -> None:
    """Have the solver's library print its banner, once in a process, where nobody reads it.

    It prints it as it is made, before it can be told to be quiet.
    """
    from service.solver.programme import Programme

    kept, nowhere = os.dup(1), os.open(os.devnull, os.O_WRONLY)
    try:
        os.dup2(nowhere, 1)
        Programme()
    finally:
        os.dup2(kept, 1)
        os.close(kept)
        os.close(nowhere)


def _key(asked: argparse.Namespace) -> int:
    from service.api.keys import made

    key, digest = made()
    print(f"to the caller:   Authorization: Bearer {key}")
    print(f"to TAKEOFF_KEYS: {asked.name}:{digest}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
