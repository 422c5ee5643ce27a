"""What kinds of layer and forms of stock are called on paper, in words of their own."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from string import Formatter
from typing import Final, Literal, TypeAlias

_SUPPORTS: Final[Mapping[str, str]] = {
    "ceiling": "joist",
    "soffit": "lookout",
    "wall": "stud",
    "floor": "joist",
    "deck": "joist",
}
_SLOPED: Final = "rafter"
_ANY: Final = "framing member"


_SEEN: Final[Mapping[str, str]] = {
    "ceiling": "seen from below, standing to face the bottom edge",
    "soffit": "seen from below, standing to face the bottom edge",
    "wall": "seen from the front",
    "floor": "seen from above",
    "deck": "seen from above",
}
"""Who looks up finds the top of the drawing behind, and left at the left hand."""


def seen_of(surface: str) -> str:
    """From where a type of surface is seen as it is drawn."""
    return _SEEN.get(surface, "seen facing the finished side")


def past_of(surface: str) -> str:
    """Where on a type of surface lies what reaches over its edge, as wrap that is turned down."""
    return "down the wall" if surface in ("ceiling", "soffit") else "past the edge"


def support_of(surface: str, *, sloped: bool) -> str:
    """What a member behind a type of surface is called: joist, rafter, stud or lookout."""
    if sloped and surface == "ceiling":
        return _SLOPED
    return _SUPPORTS.get(surface, _ANY)


def supports() -> list[str]:
    """Everything that a member may be called."""
    return list(dict.fromkeys([*_SUPPORTS.values(), _SLOPED, _ANY]))


def support_asked(pointer: str, asked: object) -> str:
    """What a member is called on the surface of a request that a pointer leads into.

    `member` where no surface of a known type lies there.
    """
    found = re.match(r"/surfaces/(\d+)(?:/|$)", pointer)
    try:
        surface = asked["surfaces"][int(found[1])]  # type: ignore[index]  # what is not there raises
        return support_of(surface["type"], sloped=surface.get("slope") is not None)
    except (TypeError, LookupError, AttributeError):
        return "member"


Rank: TypeAlias = Literal["decide", "know", "usual"]

BLANKS: Final[Mapping[str, str]] = {
    "number": "its number",
    "near": "station of its near edge",
    "far": "station of its far edge",
    "width": "its width",
    "line": "where its far edge is snapped: from the wall at both ends where it tapers",
    "pieces": "lengths of its pieces from the low end",
    "side": "the edge of the drawing at which work starts, with what it lies beside",
    "seen": "from where the surface is seen as it is drawn",
    "lies": "where it lies, and how far off the wall",
    "rise": "rise or fall, as stations do from there on",
    "direction": "the way it runs",
    "from": "the edge of the drawing from which its marks are measured",
    "support": "what a member behind it is called",
    "edge": "what its far edge is: tongue, groove or far edge",
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
    """What a course of a kind is called, the line to begin with, and sentences on how to go on.

    `bearing` is what its lines are called where they bear the ends of what is laid on them, as
    straps do; empty of a kind that bears nothing.

    A sentence one of whose blanks stays empty is left out. Raises ValueError for a blank that is
    none of `BLANKS`. `decide` and `usual` rank the findings of the kind, by code: what must be
    decided before anything is ordered, and what is as usual; others are good to know.
    """

    course: str = "course"
    bearing: str = ""
    first: str = "Snap a line {line}: {edge} of course {number}."
    begin: tuple[str, ...] = (
        "Start at {side} (marks {rise} from course to course), {seen}.",
        "{lies}",
        "{first_course}",
        "{last_course}",
    )
    decide: tuple[str, ...] = ()
    usual: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        """Raise ValueError for a blank that nobody fills."""
        unknown = sorted(
            {blank for text in (self.first, *self.begin) for blank in blanks_of(text)} - set(BLANKS)
        )
        if unknown:
            raise ValueError(f"no blank is called {', '.join(unknown)}: {', '.join(BLANKS)} are")


@dataclass(frozen=True, slots=True, kw_only=True)
class StockNouns:
    """What one bought piece of a form is called, and its place as a yard picks an order.

    `packs` is what a package of it is called, one and several; `bench` says how a piece lies at the
    saw, so that its edges and ends have names; `{tongue}` in it is what a far edge that has one is
    called besides.
    """

    piece: str = "piece"
    picked: int = 9
    packs: tuple[str, str] = ("pack", "packs")
    bench: str = (
        "a board lies face up, its far edge{tongue} away from you, and widths and depths are "
        "of its face"
    )


DECIDE: Final = frozenset({
    "backing-not-ordered", "backing-too-long", "boards-wait", "coverage-over-nominal",
    "coverage-unusual", "diagonal-misfit", "fastener-corrodes", "fastener-short", "framing-uneven",
    "many-joints", "member-outside", "metal-unknown", "moisture-not-known", "no-clip", "no-cull",
    "no-fastener", "no-tape", "opening-crosses-edge", "prices-partial", "printed-not-met",
    "room-unsettled", "spacing-unusual", "swells-beyond-joint", "taken-as-square", "unit-slip",
    "view-not-sent",
})  # fmt: skip
"""Findings of all kinds that ask for a decision before anything is ordered, by code."""

USUAL: Final = frozenset({
    "gap-uncovered", "no-currency", "no-spare", "offcuts-short", "openings-merged",
    "rules-not-costed",
})  # fmt: skip
"""Findings of all kinds that tell only of what is as usual, by code."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Nouns:
    """The words of every kind and of every form, by name."""

    kinds: Mapping[str, LayerNouns]
    forms: Mapping[str, StockNouns]

    def rank(self, code: str) -> Rank:
        """What a finding asks of its reader."""
        if code in DECIDE or any(code in kind.decide for kind in self.kinds.values()):
            return "decide"
        if code in USUAL or any(code in kind.usual for kind in self.kinds.values()):
            return "usual"
        return "know"
