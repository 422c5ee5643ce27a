"""Every way of jointing the rows of a small layer of sheets, and the least that any of them takes.

All by trying: each set of members for the joints of each row, each grouping of the pieces into
sheets and each way of sawing those. Lengths are ticks; rows are those of the answer.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise, product
from statistics import median_low

from shapely.geometry import Polygon, box

from tests.independent.build_up import Behind
from tests.independent.measure import INCH
from tests.independent.sheet_verifier import least_cost

GAP, WALL, KERF, STEP = INCH // 8, INCH // 8, INCH // 8, INCH // 16
TOUCH, LEAST, BEARINGS = INCH // 2, 24 * INCH, 3

Joints = tuple[int, ...]
Size = tuple[int, int]


class Row:
    """One row that is in one part: its shape, and the ways of jointing it."""

    def __init__(self, shape: Polygon, members: Sequence[int], half: int, longest: int) -> None:
        self.shape = shape
        self.members = members
        self.half = half
        self.longest = longest
        low, _, high, _ = shape.bounds
        self.low, self.high = round(low), round(high)
        # Each end bears half an inch on a member of an inch and a half, the gap between them.
        self.places = [at for at in members if self.low < at < self.high]

    def ways(self) -> Iterator[Joints]:
        """Every set of joints that keeps the rules of length and bearing."""
        if self.high - self.low <= self.longest:
            yield ()
        yield from self._begun(())

    def _begun(self, joints: Joints) -> Iterator[Joints]:
        if joints and self._stands(joints[-1] + GAP // 2, self.high):
            yield joints
        low = joints[-1] + GAP // 2 if joints else self.low
        for at in self.places:
            if at > low and self._stands(low, at - GAP // 2):
                yield from self._begun((*joints, at))

    def _stands(self, low: int, high: int) -> bool:
        if not LEAST <= high - low <= self.longest:
            return False
        held = [
            at for at in self.members
            if min(high, at + self.half) - max(low, at - self.half) >= TOUCH
        ]  # fmt: skip
        return len(held) >= BEARINGS

    def sizes(self, joints: Joints, width: int, lengths: Sequence[int]) -> list[Size]:
        """What is cut for each piece: the box round it, rounded down to a sixteenth."""
        ends = [self.low - GAP // 2, *joints, self.high + GAP // 2]
        found = []
        for a, b in pairwise(ends):
            low, high = a + GAP // 2, b - GAP // 2
            _, near, _, far = self.shape.intersection(box(low, -1e12, high, 1e12)).bounds
            long, wide = high - low, round(far) - round(near)
            found.append((long if long in lengths else long // STEP * STEP,
                          wide if wide == width else wide // STEP * STEP))  # fmt: skip
        return found


def rows_of(layer: Behind, members: Sequence[int], half: int, longest: int) -> list[Row] | None:
    """The rows of a layer that runs along x; None where one falls into parts."""
    inset = layer.seen.outline.buffer(-WALL, join_style="mitre", mitre_limit=20)
    inset = layer.frame.moved_all(inset)
    found = []
    for course in sorted(layer.rows("courses"), key=lambda row: int(row["course"])):
        near, far = sorted((layer.ticks(course["near"]), layer.ticks(course["far"])))
        part = inset.intersection(box(-1e12, near, 1e12, far))
        if not isinstance(part, Polygon):
            return None
        found.append(Row(part, members, half, longest))
    return found


def ways_together(rows: Sequence[Row], stagger: int, most: int) -> list[tuple[Joints, ...]] | None:
    """Every way of jointing all rows with neighbours apart; None for more than `most` to try."""
    each = [list(row.ways()) for row in rows]
    count = 1
    for own in each:
        count *= len(own)
    if count > most:
        return None
    return [
        joints for joints in product(*each)
        if all(abs(a - b) >= stagger for one, two in pairwise(joints) for a in one for b in two)
    ]  # fmt: skip


def stagger_of(members: Sequence[int]) -> int:
    """The usual spacing of members, the lower middle one."""
    return median_low([b - a for a, b in pairwise(members)])


def least_of_all(
    rows: Sequence[Row],
    ways: Sequence[tuple[Joints, ...]],
    sheets: Sequence[tuple[int, int, int]],
    most: int,
) -> int | None:
    """The least cost over all ways; None where one has more than `most` pieces to group."""
    width, lengths = sheets[0][1], [length for length, _, _ in sheets]
    costs: dict[tuple[Size, ...], int] = {}
    for joints in ways:
        sizes = sorted(
            size
            for row, own in zip(rows, joints, strict=True)
            for size in row.sizes(own, width, lengths)
        )
        if len(sizes) > most:
            return None
        if tuple(sizes) not in costs:
            cost = least_cost(sheets, KERF, sizes)
            assert cost is not None
            costs[tuple(sizes)] = cost
    return min(costs.values(), default=None)
