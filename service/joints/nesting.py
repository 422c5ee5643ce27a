"""Slanted ends that lie alike share a cut: the sticks of a layout, cut so (4.5, 8.5)."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from service.cutting.effort import Effort
from service.cutting.records import Need, Stick
from service.cutting.sticks.heuristic import cost_of
from service.cutting.sticks.nested import Blade, nested_sticks
from service.joints.job import Pool
from service.joints.leaning import sharing_cuts
from service.joints.records import Cut, Jointed, JointRun
from service.joints.sharing import place_and_share
from service.joints.solve import joints_beyond
from service.units.ticks import INCH, SIXTY_FOURTH

LEAST = INCH // 4
"""A lesser slant is not worth the trouble of a shared cut."""

NEAR = Fraction(1, 100)
"""Layouts are looked for anew where the first is further over its bound than this."""

LITTLE = Fraction(1, 250)
"""Nor are they where shared cuts can save no more than this of the runs."""


def nested(pool: Pool, made: Jointed, effort: Effort) -> Jointed:
    """The same joints, or others, with sticks that share slanted cuts, where those cost less."""
    alike = _alike(pool.runs)
    if not alike or effort.any_legal:
        return made
    best = _shared(pool, made, alike, effort, made.plan.cost)
    if best.plan.cost * (1 - NEAR) <= best.plan.bound or any(run.few for run in pool.runs):
        return best  # joints that may be anywhere took long enough to choose once
    if _promised(pool, alike) <= LITTLE:
        return best
    less = replace(effort, tries=min(effort.tries, 2), changes=0, last_nodes=0)
    again = _laid_shorter(pool, alike, replace(less, nodes=0))
    best = _better(pool, made, best, [] if again is None else [again], alike, effort)
    if not effort.changes or best.plan.cost * (1 - NEAR) <= best.plan.bound:
        return best
    return _leaning(pool, made, best, alike, effort)


def _leaning(
    pool: Pool, made: Jointed, best: Jointed, alike: Mapping[int, int], effort: Effort
) -> Jointed:
    """The best so far, or one laid at prices of sticks that share cuts, and what these show."""
    if pool.lifted or joints_beyond(pool, best):
        return best  # plans with other joints may cost less than such sticks show
    found = sharing_cuts(pool, effort, best.plan.cost)
    if found is None:
        return best
    best = _better(pool, made, best, found.layouts, alike, effort)
    bound = min(best.plan.cost, max(best.plan.bound, found.bound))
    return replace(best, plan=replace(best.plan, bound=bound))


def _better(
    pool: Pool, made: Jointed, best: Jointed, others: Sequence[Jointed],
    alike: Mapping[int, int], effort: Effort,
) -> Jointed:  # fmt: skip
    """The best so far, or another layout whose sticks, sharing cuts, cost less.

    It has no more joints too many than the one that was `made`.
    """
    for other in others:
        if joints_beyond(pool, other) > joints_beyond(pool, made):
            continue
        again = replace(other, as_you_go=made.as_you_go)
        found = _shared(pool, again, alike, effort, best.plan.cost)
        if found is not again:
            bound = min(best.plan.bound, found.plan.cost)
            best = replace(found, plan=replace(found.plan, bound=bound))
    return best


def _laid_shorter(pool: Pool, alike: Mapping[int, int], effort: Effort) -> Jointed | None:
    """Joints chosen as if every slanted end shared its cut; the pieces as they are."""
    blade = _blade(pool)
    runs = tuple(
        replace(run, shorter=_halves(run, alike, blade), mitres=(0, 0)) for run in pool.runs
    )
    made = place_and_share(replace(pool, runs=runs), effort)
    if not isinstance(made, Jointed):
        return None
    of: dict[Need, list[Need]] = defaultdict(list)
    cuts = []
    for run, own in zip(pool.runs, made.cuts, strict=True):
        rules = pool.rules[run.stack]
        true = tuple(rules.cut(run, cut.low, cut.high) for cut in own)
        for short, cut in zip(own, true, strict=True):
            of[short.need].append(cut.need)
        cuts.append(true)
    sticks = tuple(
        replace(one, pieces=tuple(of[n].pop() if of.get(n) else n for n in one.pieces))
        for one in made.plan.sticks
    )
    return replace(made, cuts=tuple(cuts), plan=replace(made.plan, sticks=sticks))


def _promised(pool: Pool, alike: Mapping[int, int]) -> Fraction:
    """What all runs take less of sticks if every slanted end shares its cut, as a share of them."""
    blade = _blade(pool)
    less = sum(half for run in pool.runs for half in _halves(run, alike, blade))
    return Fraction(less, sum(run.high - run.low for run in pool.runs))


def _halves(run: JointRun, alike: Mapping[int, int], blade: Blade) -> tuple[int, int]:
    low, high = (blade.saved(abs(_by(cut, alike))) // 2 for cut in _cuts(run))
    return low, high


def _blade(pool: Pool) -> Blade:
    face = min(run.face for run in pool.runs if any(_cuts(run)))
    return Blade(pool.kerf, face)


def _shared(
    pool: Pool, made: Jointed, alike: Mapping[int, int], effort: Effort, under: int
) -> Jointed:
    """A layout with sticks that share cuts, if they and its joints cost less than `under`."""
    cuts = tuple(
        tuple(_slanted(cut, run, alike) for cut in own)
        for run, own in zip(pool.runs, made.cuts, strict=True)
    )
    known = _sticks(made, cuts)
    joints = pool.joint_cost * made.joints
    found = nested_sticks(pool.stocks, known, _blade(pool), effort, under - joints - 1)
    if found is None:
        return made
    cost = joints + cost_of(found, pool.stocks)
    plan = replace(made.plan, sticks=found, cost=cost, bound=min(made.plan.bound, cost))
    return replace(made, cuts=cuts, plan=plan)


def _alike(runs: Iterable[JointRun]) -> dict[int, int]:
    """Each slant by the least of those that are within 1/64 in of it: they are cut alike."""
    every = {abs(cut) for run in runs if run.installed is None for cut in _cuts(run)}
    found: dict[int, int] = {}
    least = 0
    for slant in sorted(one for one in every if one >= LEAST):
        if slant - least > SIXTY_FOURTH:
            least = slant
        found[slant] = least
    return found


def _cuts(run: JointRun) -> tuple[int, int]:
    """The slants of both ends; none where a board is cut to a line once it is laid (3.17)."""
    low, high = (0 if wild else end.cut for wild, end in zip(run.wild, run.slants, strict=True))
    return low, high


def _slanted(cut: Cut, run: JointRun, alike: Mapping[int, int]) -> Cut:
    """A piece with the slants of its ends, as it lies in its stick."""
    slants = _cuts(run)
    low = _by(slants[0], alike) if cut.low == run.low else 0
    high = -_by(slants[1], alike) if cut.high == run.high else 0
    if run.turned:
        low, high = high, low
    return replace(cut, need=cut.need._replace(low_cut=low, high_cut=high))


def _by(slant: int, alike: Mapping[int, int]) -> int:
    own = alike.get(abs(slant), 0)
    return own if slant > 0 else -own


def _sticks(made: Jointed, cuts: tuple[tuple[Cut, ...], ...]) -> list[Stick]:
    """The sticks of a plan with their pieces' slants."""
    waiting: dict[Need, list[Need]] = defaultdict(list)
    beside = {piece for own in made.together for piece in own[1:]}
    for number, (own, slanted) in enumerate(zip(made.cuts, cuts, strict=True)):
        for place, (plain, cut) in enumerate(zip(own, slanted, strict=True)):
            if (number, place) not in beside:
                waiting[plain.need].append(cut.need)
    return [
        replace(
            stick,
            pieces=tuple(
                waiting[need].pop() if waiting.get(need) else need for need in stick.pieces
            ),
        )
        for stick in made.plan.sticks
    ]
