"""The order in which a yard picks what is bought."""

from __future__ import annotations

from typing import Final

_PICKED: Final = ("sheet", "roll", "tape", "lumber", "board", "fastener")


def picked(form: str) -> int:
    """The place of a form of product in an order as a yard picks it; unknown forms come last."""
    return _PICKED.index(form) if form in _PICKED else len(_PICKED)
