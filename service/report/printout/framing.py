"""What the framing behind a layer is called on paper: joists, rafters, studs or lookouts."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any, TypeAlias

Row: TypeAlias = Mapping[str, Any]


def framing_of(answer: Row, layer: Row) -> str:
    """What one member behind a layer is called."""
    (surface,) = (row for row in answer["surfaces"] if row["surface"] == layer["surface"])
    return str(surface["support"])


def said_of_framing(text: str, framing: str) -> str:
    """A text with the framing's own name: `points along joists` for `points along members`."""
    return re.sub(r"\bmember(s?)\b", rf"{framing}\1", text)
