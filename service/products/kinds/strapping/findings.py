"""What is refused of a layer of straps, and what is said of one."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import atan2, degrees

from service.errors import Cure, Fault, Finding, Ticks, TradeRefused
from service.layout.bearings import Bearing
from service.products.kinds.strapping.records import Strapping
from service.products.kinds.strapping.rulings import Task
from service.products.remarks import Remarks
from service.units.ticks import INCH
from service.units.writing import agreeing, both, counted

TWO_ENDS = 3 * INCH // 2
"""What two board ends that meet bear on, 3/4 in each (6.2)."""


def refuse_without_members(task: Task) -> None:
    """Refuse straps where no member stands behind the surface."""
    if not task.ground.bearings:
        text = "no member stands behind this surface for straps to be fastened to"
        raise TradeRefused(Fault("no-member-behind", text, task.pointer, rule="14.1"))


def refuse_along_members(task: Task, bearings: Sequence[Bearing]) -> None:
    """Refuse straps that run with the members: they would hang on nothing (14.1)."""
    if bearings:
        return
    at = f"{task.pointer}/direction"
    text = "the straps run with the members and cross none: turn them across"
    raise TradeRefused(Fault("straps-along-members", text, at, _across(task, at), "14.1"))


def _across(task: Task, at: str) -> Cure | None:
    """The direction across the members as the request has it, where it is a whole degree."""
    one = task.ground.bearings[0]
    found = degrees(atan2(one.b, one.a)) % 180
    asked = task.surface.facing(Fraction(round(found)))
    return Cure(at, int(asked)) if abs(found - round(found)) < 1e-6 else None


def refuse_too_near(task: Task, wide: int) -> None:
    """Refuse straps that stand less than their own width apart: a panel would be no dearer."""
    spacing, least = task.rules.strap_spacing, 2 * wide
    if spacing >= least:
        return
    at = f"{task.pointer}/rules/strap_spacing"
    text = (
        f"straps {both(wide)} wide at {both(spacing)} on centre leave less than a strap between "
        f"them: {both(least)} is the least"
    )
    cure = Cure(at, Ticks(least))
    raise TradeRefused(Fault("straps-too-near", text, at, cure, "14.1", spacing, least))


def nothing_left(task: Task) -> TradeRefused:
    """No part of the surface is as long as a strap is wide."""
    text = "no part of the surface is long enough for a strap: a narrower strap may be"
    return TradeRefused(Fault("nothing-left", text, task.pointer, rule="14.1"))


def too_short(task: Task, low: int, high: int, longest: int) -> TradeRefused:
    """No stick reaches from one member to the next but one, or from a wall to the second (14.3)."""
    at = f"{task.product_pointer}/stock"
    text = (
        f"a strap of {both(high - low)} cannot be spliced on members: the longest stick gives "
        f"{both(longest)}, and each piece must bear on two: take sticks as long as from a wall to "
        "the second member, and as from one member to the next but one"
    )
    fault = Fault("strap-too-short", text, at, rule="14.3", measure=longest, limit=high - low)
    return TradeRefused(fault)


def say_narrow(task: Task, wide: int, said: Remarks) -> None:
    """Lines so `wide` that they carry no joint of boards (14.2)."""
    if wide < TWO_ENDS:
        cure = Cure(f"{task.pointer}/doubled", "joints")
        said.find(
            Finding(
                "strap-narrow",
                task.at,
                f"straps {both(wide)} wide carry no joint of boards: {both(TWO_ENDS)} is needed, "
                "as two side by side (`doubled`) or a wider strap gives",
                rule="14.2",
                measure=wide,
                limit=TWO_ENDS,
                cure=cure if not task.rules.doubled and 2 * wide >= TWO_ENDS else None,
            )
        )


def say_loose(task: Task, strapping: Strapping, said: Remarks) -> None:
    """Pieces between an opening and a wall, say, that cross no member."""
    loose = [one for one in strapping.straps if not one.crossed]
    if not loose:
        return
    names = ", ".join(one.id.removeprefix(f"{task.at}.") for one in loose[:5])
    more = "" if len(loose) <= 5 else " and more"
    said.find(
        Finding(
            "strap-loose",
            task.at,
            f"{counted(len(loose), 'pieces of straps')} {agreeing(len(loose), 'crosses', 'cross')} "
            f"no member, so nothing holds {agreeing(len(loose), 'it', 'them')}: "
            f"{names}{more}; give them a header or a block",
            rule="14.2",
            measure=max(one.high - one.low for one in loose),
        )
    )
