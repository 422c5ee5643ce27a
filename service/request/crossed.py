"""Openings that cross members: whoever frames them must know which (5.7)."""

from __future__ import annotations

from collections.abc import Iterator

from service.errors import Finding
from service.geometry.members import numbered
from service.geometry.openings import Opening
from service.geometry.plane import intersection
from service.geometry.rings import Polygon, Region
from service.geometry.surface import Member, Surface
from service.units.ticks import SIXTY_FOURTH, whole
from service.units.writing import both, counted

MOST_NAMED = 8
"""Members that a finding names; it counts all."""


def crossed_members(surface: Surface) -> Iterator[Finding]:
    """One finding for each opening that crosses members; they are named as drawings name them.

    A member that stands flush with the edge of an opening is its trimmer, and is not crossed.
    """
    inside = (Polygon(surface.outline),)
    members = numbered(surface)
    for opening in surface.openings:
        hole = intersection(opening.drawn, inside)
        crossed = [(one.number, one.at) for one in members if _crosses(hole, one.member)]
        if crossed:
            yield _finding(surface, opening, crossed, every=len(crossed) == len(members) > 1)


def _crosses(hole: Region, member: Member) -> bool:
    """Whether a member stands in a hole by more than 1/64 in."""
    for polygon in (one for one in hole if _may_cross(one, member)):
        across = [whole(member.a * x + member.b * y) for x, y in polygon.outer]
        half = member.thickness / 2
        low, high = max(min(across), member.d - half), min(max(across), member.d + half)
        if high - low > SIXTY_FOURTH:
            return True
    return False


def _may_cross(polygon: Polygon, member: Member) -> bool:
    """Whether the box round a polygon comes near a member; a tick is for rounding."""
    low, high, near, far = polygon.box
    along, across = (member.a * low, member.a * high), (member.b * near, member.b * far)
    half = member.thickness / 2 + 1
    least, most = min(along) + min(across), max(along) + max(across)
    return least < member.d + half and member.d - half < most


def _finding(
    surface: Surface, opening: Opening, crossed: list[tuple[int, int]], *, every: bool
) -> Finding:
    names = [f"no. {number} at {both(at)}" for number, at in crossed[:MOST_NAMED]]
    more = len(crossed) - MOST_NAMED
    rest = f" and {more} more" if more > 0 else ""
    text = (
        f"the opening crosses {counted(len(crossed), 'members')}: {', '.join(names)}{rest}. Frame "
        "it with headers and trimmers before one is cut; their sizes are the designer's"
    )
    if every:
        text = (
            f"the opening crosses every member, {len(crossed)} of them, as a vent strip below them "
            "does: cut none of them for it; what would carry them is for the designer"
        )
    return Finding("members-crossed", f"{surface.id}.{opening.id}", text, rule="5.7")
