"""Board ends beyond their last bearing: over open framing they hang (18.2)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from service.errors import Cure, Finding
from service.geometry.rings import reaches
from service.layout.bearings import Bearing, bearings_of
from service.layout.runs import Run
from service.products.kinds.boarding.findings.places_in_words import by_station
from service.products.kinds.boarding.records import Boards
from service.products.kinds.boarding.rulings import Task
from service.products.remarks import Remarks
from service.units.ticks import SIXTY_FOURTH, whole
from service.units.writing import agreeing, both, counted


@dataclass(frozen=True, slots=True)
class End:
    """An end of a run that no joint makes: its station on the centre line, and how far it hangs."""

    run: Run
    at: int
    by: int


def say_hanging(task: Task, said: Remarks, boards: Boards) -> None:
    """One finding for all ends of a layer that lie too far from their last bearing.

    Over a panel it is a note, for the panel carries them; where backing is counted it bears them.
    """
    limit, over_panel = task.rules.hanging_end, task.ground.backing is not None
    if boards.along_framing:
        return
    if not over_panel and task.ground.depth is None and task.rules.backing == "count":
        return  # each has a nailer, a block or a header (15.3, 15.4)
    ends = [end for end in ends_of_runs(boards, boards.bearings) if end.by > limit]
    if not ends:
        return
    mend, cure = "fasten them into the panel near their ends", None
    if not over_panel:
        mend, cure = _mend(task, boards, ends, limit)
    lie = agreeing(len(ends), "lies", "lie")
    places = by_station([(end.at, end.run.course) for end in ends])
    said.find(
        Finding(
            "ends-on-panel" if over_panel else "ends-hang",
            task.at,
            f"{counted(len(ends), 'board ends')} {lie} more than {both(limit)} beyond the last "
            f"member: {places}; {mend}",
            rule="18.2",
            measure=max(end.by for end in ends),
            limit=limit,
            cure=cure,
        )
    )


def ends_of_runs(boards: Boards, bearings: Sequence[Bearing]) -> Iterator[End]:
    """Both ends of each run, along its centre line, the low one first."""
    slanted = any(one.slant for one in bearings)
    known: dict[tuple[int, int, int], tuple[int, int]] = {}
    for run in boards.laid.runs:
        _, _, near, far = run.polygon.box
        middle = (near + far) // 2
        spans = reaches(run.polygon, middle, 1) or [(run.low, run.high)]
        low, high = spans[0][0], spans[-1][1]
        alike = low, high, middle if slanted else 0
        if alike not in known:
            known[alike] = _hang(faces_at(bearings, alike[2]), low, high)
        yield End(run, low, known[alike][0])
        yield End(run, high, known[alike][1])


def _hang(sides: Sequence[tuple[int, int]], low: int, high: int) -> tuple[int, int]:
    """How far both ends of a run hang over the last of the members, by the faces of all."""
    under = [(a, b) for a, b in sides if b > low and a < high]
    first = min((a for a, _ in under), default=high)
    last = max((b for _, b in under), default=low)
    return max(0, first - low), max(0, high - last)


def faces_at(bearings: Sequence[Bearing], v: int) -> list[tuple[int, int]]:
    """Both faces of each member where it crosses `v`."""
    return [(one.at(v) - one.half, one.at(v) + one.half) for one in bearings]


def at_opening(boards: Boards, end: End) -> bool:
    """Whether an opening cut the run off there."""
    return any(
        one.course == end.run.course
        and one.effect == "cut_in_two"
        and one.low - SIXTY_FOURTH <= end.at <= one.high + SIXTY_FOURTH
        for one in boards.laid.cutouts
    )


def _mend(task: Task, boards: Boards, ends: Sequence[End], limit: int) -> tuple[str, Cure | None]:
    """What would carry the ends; an edit of the request where members at both ends would do."""
    walls = {(end.run, end.at) for end in ends if not at_opening(boards, end)}
    if walls and task.surface.ends_free and task.ground.depth is None and not boards.on_rows:
        more = (*boards.bearings, *_end_bearings(task, boards))
        left = {(end.run, end.at) for end in ends_of_runs(boards, more) if end.by > limit}
        if walls.isdisjoint(left):
            text = "members against both ends (`ends`) carry those at walls"
            text += ", headers or nailers those at openings" if len(walls) < len(ends) else ""
            if left:
                return text, None  # those at openings would be told of all the same
            # More members free boards; only what lies behind may be jointed otherwise on them.
            sure = not task.ground.over
            return text, Cure(f"{task.surface.pointer}/supports/ends", value=True, sure=sure)
    return "give them a nailer, or a header at an opening", None


def _end_bearings(task: Task, boards: Boards) -> tuple[Bearing, ...]:
    """Members that stand against the two ends of the outline, as the boards would cross them."""
    one = task.ground.bearings[0]
    across = [whole(one.a * x + one.b * y) for x, y in task.surface.outline]
    half = one.thickness // 2
    places = (min(across) + half, max(across) - half)
    return bearings_of(tuple(replace(one, d=place) for place in places), boards.frame)
