"""From the readings of a request to how flat the members of its surface lie."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from math import hypot
from typing import Any

from service.errors import Fault, TradeRefused
from service.geometry.flatness import Flatness, Reading
from service.geometry.members import Numbered, behind, numbered
from service.geometry.surface import Member, Surface
from service.units.ticks import INCH, MM, SIXTY_FOURTH, whole
from service.units.writing import agreeing, both, counted

STRAIGHTEDGE, MOST_OFF = 72 * INCH, INCH // 8
THINNEST, THINNEST_METRIC = INCH // 16, MM

Default = Callable[[str, str, int | None, int], int]
"""Enters a value in the basis: key, rule, what was sent, what is usual."""


def flatness_of(
    spec: Any, surface: Surface, pointer: str, default: Default, *, metric: bool
) -> Flatness | None:
    """How flat the members lie; None where nothing was read. Refused where no such member stands.

    So are a reading beyond its end and two of one mark.
    """
    if spec.flatness is None:
        return None
    sent, members = spec.flatness, {one.number: one for one in numbered(surface)}
    _check(sent, surface, members, f"{pointer}/flatness/readings")
    thinnest = THINNEST_METRIC if metric else THINNEST
    return Flatness(
        readings=tuple(sorted(Reading(one.member, one.at, one.dip) for one in sent.readings)),
        stations={number: one.at for number, one in members.items()},
        shim=default("flatness.shim", "1.5", sent.shim, thinnest),
        straightedge=default("flatness.straightedge", "1.5", sent.straightedge, STRAIGHTEDGE),
        most_off=default("flatness.off", "1.5", sent.off, MOST_OFF),
    )


def _check(sent: Any, surface: Surface, members: Mapping[int, Numbered], at: str) -> None:
    """Each reading is on a member, within its length, and at a mark of its own."""
    faults, marks = [], set[tuple[int, int]]()
    for k, one in enumerate(sent.readings):
        if one.member not in members:
            there = len(members)
            stand = f"{counted(there, 'members')} {agreeing(there, 'stands', 'stand')}"
            text = f"no member {one.member}: {stand} here"
            faults.append(Fault("no-such-member", text, f"{at}/{k}/member", rule="1.5"))
        elif one.at > (reach := _reach(surface, members[one.member].member)):
            text = (
                f"member {one.member} is {both(reach)} long behind the surface, and the reading is "
                f"at {both(one.at)}: marks are measured along it, from its left or lower end"
            )
            faults.append(Fault("read-beyond-member", text, f"{at}/{k}/at", rule="1.5",
                                measure=one.at, limit=reach))  # fmt: skip
        elif (one.member, one.at) in marks:
            text = f"member {one.member} has two readings at {both(one.at)}: keep one"
            faults.append(Fault("read-twice", text, f"{at}/{k}/at", rule="1.5"))
        else:
            marks.add((one.member, one.at))
    if faults:
        raise TradeRefused(*faults)


def _reach(surface: Surface, member: Member) -> int:
    """How far along a member a reading may lie: to its other end, and 1/64 in for rounding."""
    line = behind(surface.outline, member)
    if line is None:
        return 0
    (ax, ay), (bx, by) = line
    return whole(hypot(bx - ax, by - ay)) + SIXTY_FOURTH
