"""What is to be said of a surface and its openings as they were sent."""

from __future__ import annotations

from collections.abc import Iterator

from service.errors import Finding
from service.geometry.openings import LEAST_LAP, Opening
from service.geometry.slope import mirrored
from service.geometry.surface import Surface
from service.request.crossed import crossed_members
from service.units.ticks import whole
from service.units.writing import both


def said_of(surface: Surface) -> Iterator[Finding]:
    """Of the members that openings cross, of each opening, and of the side that is looked at."""
    yield from crossed_members(surface)
    for opening in surface.openings:
        yield from _of_opening(f"{surface.id}.{opening.id}", opening)
    overhead = surface.type in ("ceiling", "soffit")
    if overhead and not surface.view_sent and not _is_own_mirror(surface):
        yield Finding(
            "view-not-sent",
            surface.id,
            "taken as measured facing the finished side; if it was drawn in plan, send `view`: "
            "plan",
            rule="0.3",
        )


def _of_opening(name: str, opening: Opening) -> Iterator[Finding]:
    """A ring must lap the board on each side (5.1); what is heavy hangs from framing (15.7)."""
    lap = opening.lap
    if opening.crosses_edge:
        text = "the opening reaches the outline: only the part inside counts"
        yield Finding("opening-crosses-edge", name, text, rule="5.1")
    if opening.flange and lap < LEAST_LAP:
        text = f"the flange laps the boards by {both(lap)} only; {both(LEAST_LAP)} is needed"
        yield Finding("flange-narrow", name, text, rule="5.1", measure=lap, limit=LEAST_LAP)
    if opening.fixture == "heavy":
        yield Finding(
            "fixture-braced",
            name,
            "a heavy fixture hangs from a rated brace or hanger fixed to the framing, 1 by others: "
            "it is not in the order",
            rule="15.7",
        )


def _is_own_mirror(surface: Surface) -> bool:
    """Whether the surface looks the same from both sides: outline, openings and members."""
    across = [x for x, _ in surface.outline]
    width = min(across) + max(across)
    if set(mirrored(surface.outline, width)) != set(surface.outline):
        return False
    holes = {polygon.outer for one in surface.openings for polygon in one.drawn}
    if {mirrored(hole, width) for hole in holes} != holes:
        return False
    lines = {(round(m.a, 9), round(m.b, 9), m.d) for m in surface.members}
    turned = set()
    for m in surface.members:
        a, b, d = -m.a, m.b, m.d - m.a * width
        sign = -1 if (b, a) < (0, 0) or (b == 0 and a < 0) else 1
        turned.add((round(a * sign, 9), round(b * sign, 9), whole(d * sign)))
    return lines == turned
