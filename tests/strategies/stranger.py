"""The worked caller that checks answers, as a stranger runs it."""

from __future__ import annotations

import importlib.util
import json
from pathlib import Path
from typing import Any, Final

FILE: Final = Path(__file__).parents[2] / "openapi" / "clients" / "check_answer.py"


def _read() -> Any:
    spec = importlib.util.spec_from_file_location("check_answer", FILE)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


CLIENT: Final = _read()


def failures(request: dict[str, Any], answer: dict[str, Any]) -> list[str]:
    """What it finds wrong with an answer, each with the name of the check that failed."""
    # As it comes over the wire: nothing that is no JSON gets through.
    asked, told = json.loads(json.dumps([request, answer]))
    found: list[str] = CLIENT.failures(asked, told)
    return found
