"""Commands of an operator, run as they are typed at the root of the repository."""

from __future__ import annotations

import os
import subprocess
from collections.abc import Mapping

import pytest

from tests.callers.programs import ROOT, program


def said(*command: str, environment: Mapping[str, str] | None = None, seconds: float = 900) -> str:
    """What a program says on both outputs; a status but 0 fails the test with it.

    A program of Debian's that is written in Python has packages of its own.
    """
    own = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}
    done = subprocess.run(
        [program(command[0]), *command[1:]], cwd=ROOT, env={**own, **(environment or {})},
        timeout=seconds, check=False, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
    )  # fmt: skip
    if done.returncode:
        pytest.fail(f"{' '.join(command)}: {done.returncode}\n{done.stdout[-3000:]}")
    return done.stdout
