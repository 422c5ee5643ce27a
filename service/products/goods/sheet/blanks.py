"""Pieces that keep a mill edge of their sheet, two and two out of one width (12.2, 12.4).

Of a sheet whose edges lap the first row of a wall keeps the far edge and the last one the near:
one width of it gives one of each. Where an offcut starts the next wall both come from that width.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal, TypeAlias

from service.cutting.effort import Effort
from service.cutting.sheets.nesting import Box, Part, SheetPlan, SheetStock, nest
from service.products.goods.sheet.needs import Need
from service.units.writing import tape_size

Named: TypeAlias = tuple[str, Part]
"""The id of a piece, and what is sawn for it."""

EDGES: tuple[Literal["near", "far"], ...] = ("near", "far")


@dataclass(frozen=True, slots=True)
class Blank:
    """What is parted from a sheet in one: a piece, or a width of which two keep a mill edge each.

    The one that keeps the `far` edge lies at that, any other on the low side.
    """

    part: Part
    near: Named | None = None
    far: Named | None = None

    @property
    def pieces(self) -> tuple[Named, ...]:
        """The pieces of it, that on the low side first."""
        return tuple(one for one in (self.near, self.far) if one is not None)

    @property
    def is_plain(self) -> bool:
        """Whether it is one piece and no more."""
        return self.far is None and self.near is not None and self.near[1] == self.part


@dataclass(frozen=True, slots=True)
class Parted:
    """Where the pieces of a blank lie in their sheet, what is left of it, and how it is sawn."""

    boxes: tuple[Box, ...]
    rests: tuple[Box, ...]
    steps: tuple[str, ...]


def blanks_of(needs: Sequence[Need], kerf: int) -> list[tuple[int, Blank]]:
    """The blanks for all needs, each with what its sheet loses at an edge."""
    left = {name: (need, part) for need in needs for name, part in need.wanted.parts.items()}
    found: dict[str, tuple[int, Blank]] = {}
    for near, far in (*_begun(needs), *_paired(needs)):
        need, part = left.get(near, (None, None))
        other = left.get(far, (None, None))[1]
        if need is None or part is None or other is None:
            continue
        width = need.task.product.width
        if part.width + kerf + other.width <= width:
            long = max(part.length, other.length)
            found[near] = 0, Blank(Part(long, width), (near, part), (far, other))
            del left[near], left[far]
    for name, (need, part) in left.items():
        found[name] = need.wanted.trim, _single(need, name, part)
    return list(found.values())


def _single(need: Need, name: str, part: Part) -> Blank:
    """A piece by itself: one that keeps an edge that laps takes a whole width."""
    edge, product = need.wanted.keeps.get(name), need.task.product
    if edge is None or not product.lap:
        return Blank(part, (name, part))
    whole = Part(part.length, product.width)
    return Blank(whole, far=(name, part)) if edge == "far" else Blank(whole, (name, part))


def _begun(needs: Sequence[Need]) -> Iterator[tuple[str, str]]:
    """Last pieces of a wall, and the first ones of the wall that their offcuts start."""
    last: dict[str, list[str]] = {}
    for need in needs:
        if need.wanted.after in last:
            yield from zip(last[need.wanted.after], _keeping([need], "far"), strict=False)
        last[need.task.surface.id] = _keeping([need], "near")


def _paired(needs: Sequence[Need]) -> Iterator[tuple[str, str]]:
    """Pieces of either edge that may come from one width, those as long as each other first."""
    own = [need for need in needs if need.task.product.lap]
    parts = {name: part for need in own for name, part in need.wanted.parts.items()}
    far = _keeping(own, "far")
    for near in _keeping(own, "near"):
        yield from (
            (near, one)
            for one in sorted(far, key=lambda one: (
                abs(parts[one].length - parts[near].length), -parts[one].width
            ))
        )  # fmt: skip


def _keeping(needs: Iterable[Need], edge: str) -> list[str]:
    """Pieces that keep an edge, the longest first."""
    found = [
        (-part.length, -part.width, k, name)
        for k, need in enumerate(needs)
        for name, part in need.wanted.parts.items()
        if need.wanted.keeps.get(name) == edge
    ]
    return [name for *_, name in sorted(found)]


def bounded(
    plan: SheetPlan,
    needs: Sequence[Need],
    blanks: Sequence[tuple[int, Blank]],
    stocks: Sequence[SheetStock],
    kerf: int,
    effort: Effort,
) -> SheetPlan:
    """The plan with a bound that holds for every way of pairing pieces.

    No plan costs less than all pieces where edges are of no account, nor than those alone that
    take one of the two edges.
    """
    if all(blank.is_plain for _, blank in blanks):
        return plan
    every = Counter(part for need in needs for part in need.wanted.parts.values())
    tried = (every, *(Counter(_with_edge(needs, edge)) for edge in EDGES))
    made = (nest(parts, stocks, kerf, effort) for parts in tried if parts)
    return replace(plan, bound=min(plan.cost, max(one.bound for one in made if one is not None)))


def _with_edge(needs: Sequence[Need], edge: str) -> Iterator[Part]:
    """What takes a sheet's one edge, each as wide as the sheet: no two lie beside each other."""
    for need in needs:
        for name, part in need.wanted.parts.items():
            keeps, wide = need.wanted.keeps.get(name), need.task.product.width
            if part.width == wide or (need.task.product.lap and keeps == edge):
                yield Part(part.length, wide)


def parted(blank: Blank, at: tuple[int, int], kerf: int, unit: str) -> Parted:
    """A blank whose low corner lies `at` so far along and across its sheet, sawn up."""
    (x, y), whole = at, blank.part
    if blank.is_plain:
        return Parted(((x, y, whole.length, whole.width),), (), ())
    boxes: list[Box] = []
    for one in blank.pieces:
        part = one[1]
        low = y + whole.width - part.width if one is blank.far else y
        boxes.append((x, low, part.length, part.width))
    steps = [*_rips(blank, unit), *_crosscuts(blank, unit)]
    return Parted(tuple(boxes), tuple(_rests(blank, (x, y), boxes, kerf)), tuple(steps))


def _rests(blank: Blank, at: tuple[int, int], boxes: Sequence[Box], kerf: int) -> Iterator[Box]:
    """What lies between the two, or beside the one, and beyond what is shorter."""
    (x, y), whole = at, blank.part
    low = y + (blank.near[1].width + kerf if blank.near else 0)
    high = y + whole.width - (blank.far[1].width + kerf if blank.far else 0)
    if high > low:
        yield x, low, whole.length, high - low
    for _, across, long, wide in boxes:
        if whole.length - long > kerf:
            yield x + long + kerf, across, whole.length - long - kerf, wide


def _rips(blank: Blank, unit: str) -> Iterator[str]:
    whole = blank.part
    cuts = [tape_size(blank.near[1].width, unit)] if blank.near else []
    cuts += [f"{tape_size(blank.far[1].width, unit)} from its far edge"] if blank.far else []
    keeps = "each piece keeps a mill edge" if len(cuts) > 1 else "the piece keeps its mill edge"
    part = f"{tape_size(whole.width, unit)} x {tape_size(whole.length, unit)} part"
    yield f"rip the {part} at {' and at '.join(cuts)}: {keeps}"


def _crosscuts(blank: Blank, unit: str) -> Iterator[str]:
    for _, part in blank.pieces:
        if part.length < blank.part.length:
            strip = f"{tape_size(part.width, unit)} x {tape_size(blank.part.length, unit)}"
            yield f"crosscut the {strip} part at {tape_size(part.length, unit)}"
