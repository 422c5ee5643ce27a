"""Least costs by another general solver (CBC), from programmes written from the rules.

Every way of cutting a bar is listed, and every piece between two places of a run is a choice of its
own; nothing is priced, rounded or searched here. Imports nothing of the service.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import pulp

from tests.independent.cut_plans import Bar, CourseRules

Pieces = tuple[tuple[int, int], ...]
"""Lengths and how many of each one bar gives."""


MOST_NODES = 2000


class Unfinished(Exception):
    """The search was not through after `MOST_NODES` nodes."""


@dataclass(frozen=True)
class BareRun:
    """One run that is to be laid: its course and its two ends."""

    course: int
    low: int
    high: int


def least_cutting(bars: Sequence[Bar], kerf: int, wanted: Mapping[int, int]) -> int | None:
    """The least that bars for all pieces cost; None where the bars do not reach."""
    programme = _programme()
    cut, cost = _bars_cut(programme, bars, kerf, wanted)
    for length, count in wanted.items():
        programme += pulp.lpSum(cut[length]) >= count
    return _least(programme, cost)


def least_layout(
    bars: Sequence[Bar], kerf: int, rules: CourseRules, runs: Sequence[BareRun],
    *, whole_where_it_fits: bool,
) -> int | None:  # fmt: skip
    """The least that bars for all runs cost, joints and cutting chosen together.

    None where no layout is legal or the bars do not reach. `whole_where_it_fits`: no joint in a
    run that one bar holds.
    """
    programme = _programme()
    used: dict[int, list[object]] = defaultdict(list)
    joints = [
        _laid(programme, number, run, bars, rules, used, whole_where_it_fits)
        for number, run in enumerate(runs)
    ]
    if any(own is None for own in joints):
        return None
    for a, one in enumerate(runs):
        for b, other in enumerate(runs):
            apart = {1: rules.stagger, 2: rules.repeat}.get(other.course - one.course)
            if apart and one.low < other.high and other.low < one.high:
                _keep_apart(programme, joints[a] or {}, joints[b] or {}, apart)
    most = dict.fromkeys(used, len(runs) * max(1, len(rules.supports or ())))
    cut, cost = _bars_cut(programme, bars, kerf, most)
    for length, pieces in used.items():
        programme += pulp.lpSum(cut[length]) >= pulp.lpSum(pieces)
    return _least(programme, cost)


def _laid(
    programme: pulp.LpProblem, number: int, run: BareRun, bars: Sequence[Bar],
    rules: CourseRules, used: dict[int, list[object]], whole_where_it_fits: bool,
) -> dict[int, object] | None:  # fmt: skip
    """Choices of pieces from one end of a run to the other; gives the choice of each joint.

    None where one end cannot be reached by any piece.
    """
    longest = max(bar.usable for bar in bars)
    places = [run.low, *(at for at in sorted(rules.supports or ()) if run.low < at < run.high)]
    if whole_where_it_fits and run.high - run.low <= longest:
        places = [run.low]
    places.append(run.high)
    out: dict[int, list[object]] = defaultdict(list)
    into: dict[int, list[object]] = defaultdict(list)
    for k, low in enumerate(places):
        for high in places[k + 1 :]:
            whole = (low, high) == (run.low, run.high)
            if high - low > longest or (high - low < rules.min_piece and not whole):
                continue
            piece = programme.add_variable(f"piece_{number}_{low}_{high}", 0, 1, "Integer")
            out[low].append(piece)
            into[high].append(piece)
            used[high - low].append(piece)
    if not out[run.low] or not into[run.high]:
        return None
    programme += pulp.lpSum(out[run.low]) == 1
    for place in places[1:-1]:
        programme += pulp.lpSum(out[place]) == pulp.lpSum(into[place])
    return {place: pulp.lpSum(into[place]) for place in places[1:-1]}


def _keep_apart(
    programme: pulp.LpProblem, one: Mapping[int, object], other: Mapping[int, object], apart: int
) -> None:
    """No joint of one run nearer than `apart` to a joint of the other."""
    for here, joint in one.items():
        for there, beside in other.items():
            if abs(here - there) < apart:
                programme += joint + beside <= 1


def _bars_cut(
    programme: pulp.LpProblem, bars: Sequence[Bar], kerf: int, most: Mapping[int, int]
) -> tuple[dict[int, list[object]], object]:
    """How many bars are cut in each way: what that gives of each length, and what it costs."""
    cut: dict[int, list[object]] = defaultdict(list)
    cost = []
    for number, bar in enumerate(bars):
        taken = []
        for k, pieces in enumerate(ways_to_cut(bar.usable, kerf, most)):
            way = programme.add_variable(f"bar_{number}_{k}", 0, None, "Integer")
            taken.append(way)
            for length, count in pieces:
                cut[length].append(count * way)
        if taken and bar.supply is not None:
            programme += pulp.lpSum(taken) <= bar.supply
        cost.append(bar.cost * pulp.lpSum(taken))
    return cut, pulp.lpSum(cost)


def ways_to_cut(usable: int, kerf: int, most: Mapping[int, int]) -> Iterator[Pieces]:
    """Every choice of pieces that one bar holds, at most so many of each length."""
    lengths = sorted(most, reverse=True)

    def grow(place: int, left: int, taken: Pieces) -> Iterator[Pieces]:
        if place == len(lengths):
            if taken:
                yield taken
            return
        length = lengths[place]
        for count in range(min(most[length], left // (length + kerf)) + 1):
            more = ((length, count),) if count else ()
            yield from grow(place + 1, left - count * (length + kerf), taken + more)

    return grow(0, usable + kerf, ())


def _programme() -> pulp.LpProblem:
    return pulp.LpProblem("least", pulp.LpMinimize)


def _least(programme: pulp.LpProblem, cost: object) -> int | None:
    """The least cost, or None where nothing is possible; costs are integers.

    Raises `Unfinished` where that is not known after so many nodes.
    """
    programme.setObjective(cost)
    # An option `threads`, even of 1, makes some of its runs wait for ten seconds.
    path = pulp.PULP_CBC_CMD.pulp_cbc_path
    status = programme.solve(pulp.COIN_CMD(path=path, msg=False, gapRel=0, maxNodes=MOST_NODES))
    if status == pulp.LpStatusInfeasible:
        return None
    if programme.sol_status != pulp.LpSolutionOptimal:
        raise Unfinished(pulp.LpStatus[status])
    found = pulp.value(programme.objective)
    assert abs(found - round(found)) < 1e-4
    return round(found)
