"""Lengths that all but agree are cut alike, where a covered gap takes the difference (0.2, 3.9).

A piece that ends in a covered gap is cut to the next step of the tape over its extent. Cut a step
shorter it lies as far within its extent, at most, as it would have gone over it: so where another
piece is a step shorter both are cut from one setting of the saw. No piece gets longer, so that the
plan stays what it is, in cost and bound.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from service.cutting.records import Need, Stick
from service.joints.records import Cut, Jointed, JointRules
from service.units.ticks import INCH

COARSEST = INCH // 8
"""Lengths cut to coarser steps are left as they are: no gap takes more."""


@dataclass(frozen=True, slots=True)
class CutRun:
    """The pieces of a run, its rules, and which of its two ends lie in a gap that gives."""

    rules: JointRules
    gives: tuple[bool, bool]
    cuts: tuple[Cut, ...]

    def by(self, place: int) -> int:
        """How much shorter one of its pieces may be cut, ticks; 0 for none."""
        first, last = place == 0, place == len(self.cuts) - 1
        step, least = self.rules.cut_to, self.rules.min_piece
        ends = (first and self.gives[0]) or (last and self.gives[1])
        long = (first and last) or self.cuts[place].need.length - step >= least
        return step if ends and long and step <= COARSEST else 0


def evened(made: Jointed, runs: Sequence[CutRun], fixed: Iterable[Need]) -> Jointed:
    """A plan with pieces a step shorter where others are as short; `fixed` pieces are no run's.

    Rips that share a board, and slanted ends that may share a cut, are left as they are.
    """
    shared = {piece for own in made.together for piece in own}
    less: dict[Need, int] = dict.fromkeys(fixed, 0)
    for number, run in enumerate(runs):
        for place, cut in enumerate(run.cuts):
            slants = cut.need.low_cut or cut.need.high_cut
            by = 0 if slants or (number, place) in shared else run.by(place)
            less[cut.need] = min(less.get(cut.need, by), by)
    alike = _alike(less)
    if not alike:
        return made
    cuts = tuple(
        tuple(replace(cut, need=alike.get(cut.need, cut.need)) for cut in own) for own in made.cuts
    )
    sticks = tuple(_stick(stick, alike) for stick in made.plan.sticks)
    return replace(made, cuts=cuts, plan=replace(made.plan, sticks=sticks))


def _alike(less: Mapping[Need, int]) -> dict[Need, Need]:
    """What each need is cut as that is not cut as it is; `less` is how much shorter it may be."""
    kinds: dict[tuple[int, ...], list[Need]] = defaultdict(list)
    for need in less:
        kinds[need[1:]].append(need)
    return {need: other for own in kinds.values() for need, other in _shortened(own, less)}


def _shortened(needs: Collection[Need], less: Mapping[Need, int]) -> Iterable[tuple[Need, Need]]:
    """From the shortest on: each that may be as short as the last that was kept."""
    kept: Need | None = None
    for need in sorted(needs):
        if kept is not None and need.length - kept.length <= less[need]:
            yield need, kept
        else:
            kept = need


def _stick(stick: Stick, alike: Mapping[Need, Need]) -> Stick:
    """A stick with its pieces as they are cut, the longest first as before."""
    return replace(stick, pieces=tuple(alike.get(need, need) for need in stick.pieces))
