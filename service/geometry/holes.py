"""Openings as they are cut: those that overlap, or lie too near to each other, are one hole."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from service.geometry.openings import Opening
from service.geometry.plane import closed, difference, distance, union
from service.geometry.rings import Region, bounds

TOUCHING = 2
"""Ticks within which a strip touches a hole: what snapping its corners can open."""


@dataclass(frozen=True, slots=True)
class Web:
    """A strip of board between two openings, `width` ticks wide, that is cut out with them."""

    between: tuple[str, str]
    width: int
    region: Region


@dataclass(frozen=True, slots=True)
class Hole:
    """One hole in the boards, of one opening or of several that merge.

    `cut` is its shape as cut, its webs included; `cover` what the flanges cover and still lap the
    boards beyond, and `spare` how much further than they must they all lap those (ticks).
    """

    openings: tuple[str, ...]
    cut: Region
    cover: Region
    spare: int
    webs: tuple[Web, ...] = ()

    @property
    def name(self) -> str:
        """Its openings' names, for a sentence."""
        return " and ".join(self.openings)


def holes_of(openings: Sequence[Opening], apart: int) -> tuple[Hole, ...]:
    """The holes that `openings` make; those nearer than `apart` ticks merge (5.1).

    Two that are near at their corners only stay apart: no strip of board lies between them.
    """
    group = list(range(len(openings)))
    webs: list[tuple[int, Web]] = []
    for i, j in _near(openings, apart):
        gap = distance(openings[i].cut, openings[j].cut)
        strip = _between(openings[i].cut, openings[j].cut, apart) if 0 < gap < apart else ()
        if strip:
            webs.append((i, Web((openings[i].id, openings[j].id), round(gap), strip)))
        if strip or gap == 0:
            group = [group[i] if one == group[j] else one for one in group]
    return tuple(
        _hole(
            [one for k, one in enumerate(openings) if group[k] == number],
            tuple(web for k, web in webs if group[k] == number),
        )
        for number in dict.fromkeys(group)
    )


def _near(openings: Sequence[Opening], apart: int) -> Iterator[tuple[int, int]]:
    """Pairs whose boxes are no further apart than `apart`."""
    boxes = [bounds(one.cut) for one in openings]
    for i, a in enumerate(boxes):
        for j in range(i + 1, len(boxes)):
            b = boxes[j]
            along = max(a[0], b[0]) - min(a[1], b[1])
            if along <= apart and max(a[2], b[2]) - min(a[3], b[3]) <= apart:
                yield i, j


def _between(one: Region, other: Region, apart: int) -> Region:
    """The strip between two regions nearer than `apart`: what is too narrow there to stay."""
    both = union([one, other])
    parts = difference(closed(both, apart), both)
    return tuple(
        part
        for part in parts
        if distance((part,), one) <= TOUCHING and distance((part,), other) <= TOUCHING
    )


def _hole(openings: Sequence[Opening], webs: tuple[Web, ...]) -> Hole:
    names = tuple(one.id for one in openings)
    if len(openings) == 1:
        return Hole(names, openings[0].cut, openings[0].cover, openings[0].spare)
    cut = union([*(one.cut for one in openings), *(web.region for web in webs)])
    spare = min(one.spare for one in openings)
    return Hole(names, cut, union(one.cover for one in openings), spare, webs)
