"""Joint places that nothing behind the boards, or nothing in the boards, can carry."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from service.errors import Cure, Fault, TradeRefused
from service.joints.records import Places
from service.products.kinds.boarding.records import LaidBoards


@dataclass(frozen=True, slots=True)
class Misplaced:
    """Joint places that cannot be: when, and what the refusal says and cures it with."""

    code: str
    holds: Callable[[LaidBoards, Places], bool]
    text: str
    cure: str
    rule: str


ON_MEMBERS = (Places.FRAMING, Places.FRAMING_OR_BLOCK)

MISPLACED: Final = (
    Misplaced(
        "no-sheathing",
        lambda layer, places: places is Places.SHEATHING and layer.task.ground.backing is None,
        "joints on sheathing need a `backing` behind the boards",
        "framing",
        "6.2",
    ),
    Misplaced(
        "floating-needs-end-matched",
        lambda layer, places: places is Places.FLOATING and not layer.detail.board.end_matched,
        "joints may float only where end-matched boards hold each other",
        "framing",
        "6.2",
    ),
    Misplaced(
        "end-matched-on-framing",
        lambda layer, places: places in ON_MEMBERS and layer.detail.board.end_matched,
        "the joints of end-matched boards fall where the stock lengths put them, not on members",
        "floating",
        "7.2",
    ),
    Misplaced(
        "no-member-crossed",
        lambda layer, places: places is Places.FRAMING and layer.detail.on_rows,
        "the boards cross no member: rows of blocks bear them, and joints may land on those",
        "framing_or_block",
        "15.2",
    ),
    Misplaced(
        "no-member-crossed",
        lambda layer, places: (
            places in (*ON_MEMBERS, Places.FLOATING) and layer.detail.along_framing
        ),
        "the boards cross no member, so no joint can be on one",
        "sheathing",
        "6.2",
    ),
)


def check_places(layer: LaidBoards, places: Places) -> None:
    """Refuse joint places that cannot be."""
    at = f"{layer.task.pointer}/joints"
    for one in MISPLACED:
        if one.holds(layer, places):
            cure = Cure(at, one.cure)
            raise TradeRefused(Fault(one.code, one.text, at, cure=cure, rule=one.rule))
