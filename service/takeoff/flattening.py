"""Shims that level the members: where each goes, and where they are too uneven for it (1.5)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import hypot

from service.errors import Finding
from service.geometry.flatness import Flatness
from service.geometry.members import Numbered, behind, numbered
from service.geometry.rings import Point
from service.geometry.surface import Surface
from service.layout.bearings import bearings_of
from service.products.layer import AnyPlaced
from service.products.nouns import support_of
from service.products.remarks import Remarks
from service.products.shim_rows import ShimRow
from service.units.ticks import INCH, whole
from service.units.writing import agreeing, both, counted

THICKEST = INCH // 2
"""Over this a stack of shims is no hold: the member is sistered in its place (14.4)."""


def shims(
    surfaces: Sequence[Surface], placed: Sequence[AnyPlaced], said: Remarks
) -> tuple[ShimRow, ...]:
    """Every shim on the members that were read, and what is to be said of how they lie.

    They go where straps cross the members; without straps where the readings were taken.
    """
    found: list[ShimRow] = []
    for surface in surfaces:
        if surface.flatness is not None:
            on = [one for one in placed if _is_strapped(one, surface)]
            rows = (
                list(_at_straps(surface, surface.flatness, on))
                if on
                else list(_at_readings(surface, surface.flatness))
            )
            _say(surface, surface.flatness, rows, said)
            found += [row for row in rows if row.shim]
    return tuple(found)


def _is_strapped(one: AnyPlaced, surface: Surface) -> bool:
    """Whether a layer lies on the members themselves and is what the next ones bear on."""
    task = one.laid.task
    on_members = task.ground.bearings == surface.members
    return task.surface.id == surface.id and on_members and bool(one.laid.offered.bearings)


def _at_readings(surface: Surface, flat: Flatness) -> Iterator[ShimRow]:
    lines = {one.number: _line(surface, one) for one in numbered(surface)}
    for one in flat.readings:
        (x, y), (a, b) = lines[one.member]
        at = x + whole(a * one.at), y + whole(b * one.at)
        yield _row(surface, flat, one.member, one.at, at, None)


def _at_straps(surface: Surface, flat: Flatness, placed: Sequence[AnyPlaced]) -> Iterator[ShimRow]:
    """One for each crossing of a line of straps and a member."""
    by_index = {one.index: one for one in numbered(surface)}
    for one in placed:
        frame = one.laid.frame
        members = bearings_of(surface.members, frame)
        seen: set[tuple[int, int]] = set()
        for run in one.runs:
            v = (run.near + run.far) // 2
            for member in members:
                u, number = member.at(v), by_index[member.member].number
                if run.low <= u <= run.high and (run.course, number) not in seen:
                    seen.add((run.course, number))
                    point = frame.back((u, v))
                    (x, y), (a, b) = _line(surface, by_index[member.member])
                    along = whole((point[0] - x) * a + (point[1] - y) * b)
                    yield _row(surface, flat, number, along, point, run.course)


def _line(surface: Surface, one: Numbered) -> tuple[Point, tuple[float, float]]:
    """The first end of a member behind the surface, and the way that it goes from there."""
    ends = behind(surface.outline, one.member)
    if ends is None:  # it stands behind no part of the outline: measured from where it is nearest
        return (0, 0), (-one.member.b, one.member.a)
    (x, y), (to, up) = ends
    long = hypot(to - x, up - y) or 1.0
    return (x, y), ((to - x) / long, (up - y) / long)


def _row(
    surface: Surface, flat: Flatness, member: int, along: int, at: Point, strap: int | None
) -> ShimRow:
    dip = flat.dip_at(member, along)
    return ShimRow(
        surface=surface.id,
        member=member,
        along=along,
        at=at,
        strap=strap,
        dip=dip,
        shim=flat.shim_for(dip),
    )


def _say(surface: Surface, flat: Flatness, rows: Sequence[ShimRow], said: Remarks) -> None:
    support = support_of(surface.type, sloped=surface.slope is not None)
    for found in (
        _uneven(surface, flat, support),
        _thick(surface, rows, support),
        _unread(surface, flat, rows, support),
    ):
        if found is not None:
            said.find(found)


def _uneven(surface: Surface, flat: Flatness, support: str) -> Finding | None:
    uneven = flat.uneven()
    if not uneven:
        return None
    worst = uneven[0]
    return Finding(
        "framing-uneven",
        surface.id,
        f"{counted(len(uneven), 'readings')} {agreeing(len(uneven), 'lies', 'lie')} more than "
        f"{both(flat.most_off)} off a straightedge of {both(flat.straightedge)}: the worst "
        f"{both(worst.off)}, {support} {worst.reading.member} at {both(worst.reading.at)}; shim or "
        "plane the members before anything is laid on them",
        rule="1.5",
        measure=worst.off,
        limit=flat.most_off,
    )


def _thick(surface: Surface, rows: Sequence[ShimRow], support: str) -> Finding | None:
    thick = [row for row in rows if row.shim > THICKEST]
    if not thick:
        return None
    most = max(thick, key=lambda row: row.shim)
    return Finding(
        "shims-thick",
        surface.id,
        f"{counted(len(thick), 'shims')} would be over {both(THICKEST)}, up to "
        f"{both(most.shim)} on {support} {most.member}: sister the {support} in their place",
        rule="14.4",
        measure=most.shim,
        limit=THICKEST,
    )


def _unread(
    surface: Surface, flat: Flatness, rows: Sequence[ShimRow], support: str
) -> Finding | None:
    unread = sorted({row.member for row in rows} - {one.member for one in flat.readings})
    if not unread:
        return None
    named = ", ".join(map(str, unread[:8])) + (" and more" if len(unread) > 8 else "")
    return Finding(
        "members-not-read",
        surface.id,
        f"{support}s no. {named} were not read: their shims are taken from those beside them",
        rule="1.5",
    )
