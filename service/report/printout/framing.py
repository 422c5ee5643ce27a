"""What the framing behind a layer is called on paper: joists, rafters, studs or lookouts."""

from __future__ import annotations

import re

from service.report.printout.rows import Row, surface_of


def framing_of(answer: Row, layer: Row) -> str:
    """What one member behind a layer is called."""
    surface = surface_of(answer, layer)
    return str(surface["support"])


def said_of_framing(text: str, framing: str) -> str:
    """A text with the framing's own name: `points along joists` for `points along members`."""
    return re.sub(r"\bmember(s?)\b", rf"{framing}\1", text)
