"""How far joints keep from openings, steps and panel joints, and what is given up of it (5.5)."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Literal, NamedTuple

from service.layout.runs import Cutout, Run
from service.products.kinds.boarding.laying.least_widths import least_rip
from service.products.kinds.boarding.records import Boards
from service.products.kinds.boarding.rulings import Task

Key = Literal["joint_beside_hole", "joint_from_hole", "joint_from_panel_joint", "stagger", "repeat"]

SOFT: tuple[Key, ...] = ("joint_beside_hole", "joint_from_hole")
"""The bans that are given up where no joint keeps them, in this order (5.5)."""

Place = tuple[int, int]
"""A run's course, and its number in it."""


class Ban(NamedTuple):
    """A stretch of a run, `low` to `high`, that its joints keep `off` from; stations."""

    key: Key
    low: int
    high: int
    off: int

    def clear(self, at: int) -> int:
        """How far a station is from the stretch."""
        return max(self.low - at, at - self.high, 0)

    def shuts(self, at: int) -> bool:
        """Whether a joint at a station would be too near."""
        return self.clear(at) < self.off


@dataclass(frozen=True, slots=True)
class Bans:
    """How far joints of a layer keep from holes and steps, and from joints of panels (5.5, 6.5).

    A notch longer than `long` that leaves at least `rip` of the width leaves a rip, and that may be
    jointed. `eased` has the lower distance of each soft ban that was given up in a run.
    """

    asked: Mapping[Key, int]
    rip: int
    long: int
    eased: Mapping[tuple[Place, Key], int] = field(default_factory=dict)

    def without(self, *keys: Key) -> Bans:
        """With some bans given up everywhere."""
        return replace(self, asked={**self.asked, **dict.fromkeys(keys, 0)})

    def eased_in(self, runs: Iterable[Run], key: Key, off: int = 0) -> Bans:
        """With a soft ban given up in some runs, or lowered to `off`."""
        return replace(self, eased={**self.eased, **{(place_of(run), key): off for run in runs}})

    def of(self, run: Run, boards: Boards) -> list[Ban]:
        """Every ban in a run."""
        off = {key: self._off(run, key) for key in self.asked}
        kept: list[tuple[Key, int, int]] = [
            *(("joint_from_hole", *span) for one in run.cutouts for span in self._kept_whole(one)),
            *(("joint_beside_hole", at, at) for at in _ends_beside(run, boards)),
            *(("joint_from_panel_joint", at, at) for at in boards.panel_joints_at(run)),
            *(("stagger", at, at) for at in _up_beside(run, boards, 1)),
            *(("repeat", at, at) for at in _up_beside(run, boards, 2)),
        ]
        return [Ban(*one, off[one[0]]) for one in kept if off[one[0]]]

    def _off(self, run: Run, key: Key) -> int:
        asked = self.asked[key]
        return min(asked, self.eased.get((place_of(run), key), asked))

    def _kept_whole(self, cutout: Cutout) -> list[tuple[int, int]]:
        """What joints keep off: a whole hole or notch, or both ends of one that leaves a rip."""
        low, high = cutout.low, cutout.high
        leaves_rip = cutout.effect == "notch" and max(cutout.legs) >= self.rip
        return (
            [(low, low), (high, high)] if leaves_rip and high - low > self.long else [(low, high)]
        )


def _up_beside(run: Run, boards: Boards, apart: int) -> Iterator[int]:
    """Joints of boards that are up, so many courses apart (6.5)."""
    for course in (run.course - apart, run.course + apart):
        yield from boards.beside.joints.get(course, ())


def _ends_beside(run: Run, boards: Boards) -> Iterator[int]:
    """Ends of what cuts into the next courses, but for openings that cut the run's own too."""
    own = {one.opening for one in boards.laid.cutouts if one.course == run.course}
    for one in boards.laid.cutouts:
        if abs(one.course - run.course) == 1 and one.opening not in own:
            yield from (one.low, one.high)


def place_of(run: Run) -> Place:
    """Where a run lies."""
    return run.course, run.number


def bans_of(task: Task, boards: Boards) -> Bans:
    """The bans of a layer as they are asked for."""
    rules = task.rules
    asked: dict[Key, int] = {
        "joint_beside_hole": rules.joint_beside_hole,
        "joint_from_hole": rules.joint_from_hole,
        "joint_from_panel_joint": rules.joint_from_panel_joint if task.ground.over else 0,
        "stagger": rules.stagger if task.standing else 0,
        "repeat": rules.repeat if task.standing else 0,
    }
    long = rules.long_hole if boards.laid.cutouts else 0
    return Bans(asked, least_rip(task, boards.board), long)
