"""The members of a surface as they are answered."""

from __future__ import annotations

from service.geometry.members import behind, numbered
from service.geometry.surface import Surface
from service.products.laid_rows import MemberRow


def member_rows(surface: Surface) -> tuple[MemberRow, ...]:
    """Each member that stands behind a part of the outline, by ascending number."""
    found = ((one, behind(surface.outline, one.member)) for one in numbered(surface))
    return tuple(
        MemberRow(
            surface=surface.id,
            member=one.number,
            start=ends[0],
            end=ends[1],
            thickness=one.member.thickness,
        )
        for one, ends in found
        if ends is not None
    )
