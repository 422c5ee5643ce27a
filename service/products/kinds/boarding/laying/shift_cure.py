"""Moving the courses so that no narrow leg is left beside a hole (5.2)."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from itertools import islice

from service.errors import Cure, Ticks
from service.geometry.rings import bounds
from service.layout.legs import FramedHole, Leg, narrow_legs
from service.layout.runs import NOTHING, Course, placed_courses
from service.products.goods.board.board import Board
from service.products.kinds.boarding.laying.least_widths import least_legs
from service.products.kinds.boarding.rulings import Task
from service.products.kinds.boarding.ways import Ways
from service.units.ticks import MM, SIXTEENTH, nearest

MOST_HOLES_LAID = 600
"""How many holes are laid out in full, place after place of the joints, before it is given up.

Up to four holes every mark of the tape within half a course is tried that may do.
"""


def shift_cure(
    task: Task,
    board: Board,
    ways: Ways,
    courses: Sequence[Course],
    holes: Sequence[FramedHole],
    leg: Leg,
) -> Cure | None:
    """The nearest shift of the courses that leaves no narrow leg and no rip under the least.

    It is an `aim` that puts a joint on a mark of the tape, 1/16 in or 1 mm. None where the caller
    said how the courses lie, where stations are not those that were sent, or where no shift does.
    """
    surface = task.surface
    if surface.mirrored or surface.slope is not None or task.layer.aim or ways.sent:
        return None
    if ways.lapped or len(courses) < 2:
        return None
    least = partial(least_legs, task, board)
    clear = partial(_clear, ways, holes, least(courses[1]))
    most = max(1, MOST_HOLES_LAID // len(holes))
    trial = _Trial(ways, holes, least)
    for at in islice(filter(clear, _marks(task, ways, courses, leg)), most):
        if trial.lies_well(at):
            return Cure(f"{task.pointer}/aim", [{"at": Ticks(at), "on": "joint"}])
    return None


def _marks(task: Task, ways: Ways, courses: Sequence[Course], leg: Leg) -> Iterator[int]:
    """Marks of the tape within half a course of the joint nearest to a leg, the nearest first."""
    step = SIXTEENTH if task.unit in ("in", "ft") else MM
    _, _, near, far = leg.box.box
    edges = {edge for course in courses for edge in (course.low, course.high)}
    _, _, low, high = bounds(ways.inset)
    joint = min(edges - {low, high}, key=lambda edge: (abs(2 * edge - near - far), edge))
    reach = range(-ways.widths.module // (2 * step) - 1, ways.widths.module // (2 * step) + 2)
    marks = [nearest(joint, step) + k * step for k in reach]
    yield from sorted((at for at in marks if at >= 0), key=lambda at: (abs(at - joint), at))


def _clear(ways: Ways, holes: Sequence[FramedHole], least: tuple[int, int], at: int) -> bool:
    """Whether a joint at `at` leaves no leg too narrow, as far as simple sums tell.

    Holes in the outermost courses are left to the trial, for their legs do not follow the joints,
    and so are those under a flange, which may cover a leg.
    """
    module, half = ways.widths.module, ways.widths.spacer // 2
    _, _, low, high = bounds(ways.inset)
    for hole in (one for one in holes if not one.cover):
        _, _, near, far = bounds(hole.cut)
        below, above = (near - at - half) % module, (at - half - far) % module
        if near > low + module and NOTHING < below < least[0]:
            return False
        if far < high - module and NOTHING < above < least[1]:
            return False
    return True


class _Trial:
    """Courses laid as they come to lie at a mark; the hole that failed last is looked at first."""

    def __init__(
        self, ways: Ways, holes: Sequence[FramedHole], least: Callable[[Course], tuple[int, int]]
    ) -> None:
        self._ways, self._least = ways, least
        self._holes = list(holes)

    def lies_well(self, at: int) -> bool:
        """Whether courses laid with that aim keep every rip and every leg."""
        ways = self._ways
        chosen, _ = ways.best([ways.feature(at, "joint")])
        if chosen is None or chosen.fails:
            return False
        courses = placed_courses(chosen.scheme, ways.inset, ways.starts_low)
        spoilt = next((k for k in range(len(self._holes)) if self._spoils(courses, k)), None)
        if spoilt is not None:
            self._holes.insert(0, self._holes.pop(spoilt))
        return spoilt is None

    def _spoils(self, courses: tuple[Course, ...], k: int) -> bool:
        """Whether a leg beside a hole is too narrow to stay."""
        legs = narrow_legs(courses, self._holes[k : k + 1], self._least)
        return not all(leg.cut_out for leg in legs)
