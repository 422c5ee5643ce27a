"""What kinds of layer and forms of stock are called on paper, in words of their own."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from string import Formatter
from typing import Final

BLANKS: Final[Mapping[str, str]] = {
    "number": "its number",
    "near": "station of its near edge",
    "far": "station of its far edge",
    "width": "its width",
    "pieces": "lengths of its pieces from the low end",
    "side": "low or high, the side on which work starts",
    "rise": "rise or fall, as stations do from there on",
    "direction": "the way it runs",
    "lap": "how far the next course laps it",
    "first_course": "a sentence on its edges and cut",
    "last_course": "the same of the last course",
}
"""What a sentence may leave to be filled, in braces, of the first course of a layer."""


def blanks_of(sentence: str) -> set[str]:
    """The blanks of a sentence."""
    return {name for _, name, _, _ in Formatter().parse(sentence) if name}


@dataclass(frozen=True, slots=True, kw_only=True)
class LayerNouns:
    """What a course of a kind is called, and the sentences that say how its work begins.

    A sentence one of whose blanks stays empty is left out. Raises ValueError for a blank that is
    none of `BLANKS`.
    """

    course: str = "course"
    begin: tuple[str, ...] = (
        "Start on the {side} side (stations {rise} from course to course, seen facing the finished "
        "side).",
        "Snap the start line at {far}: the far edge of course {number}. Its near edge lies at "
        "{near}.",
        "{first_course}",
        "{last_course}",
    )

    def __post_init__(self) -> None:
        """Raise ValueError for a blank that nobody fills."""
        unknown = sorted({blank for text in self.begin for blank in blanks_of(text)} - set(BLANKS))
        if unknown:
            raise ValueError(f"no blank is called {', '.join(unknown)}: {', '.join(BLANKS)} are")


@dataclass(frozen=True, slots=True, kw_only=True)
class StockNouns:
    """What one bought piece of a form is called, and its place as a yard picks an order."""

    piece: str = "piece"
    picked: int = 9


@dataclass(frozen=True, slots=True, kw_only=True)
class Nouns:
    """The words of every kind and of every form, by name."""

    kinds: Mapping[str, LayerNouns]
    forms: Mapping[str, StockNouns]
