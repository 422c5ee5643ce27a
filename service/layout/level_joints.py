"""End joints of all rows in the same lines, as those of a panelling under one strip (12.3).

All lengths are ticks.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import islice, pairwise

from service.layout.panel_runs import Arranged, Joints, PanelRules, PanelRun, every_way, legal

MOST_WAYS = 500
"""Ways of jointing a row, and lines over all rows, that are tried."""


def level_lines(low: int, high: int, lengths: Sequence[int], rules: PanelRules) -> list[Joints]:
    """Lines in which rows from `low` to `high` may be jointed wherever a block can be put.

    For each length whole sheets from the low end, with the last line moved back where too little
    would be left, whole ones from the high end, and as few alike as it gives.
    """
    found: list[Joints] = []
    for length in sorted(set(lengths), reverse=True):
        step, half = length + rules.gap, rules.gap // 2
        up = tuple(range(low + length + half, high, step))
        moved = (*up[:-1], min(up[-1], high - rules.least - rules.gap + half)) if up else ()
        down = tuple(sorted(high - (at - low) for at in up))
        count = len(up) + 1
        alike = tuple(low + (high - low) * k // count for k in range(1, count))
        found += [up, moved, down, alike]
    return list(dict.fromkeys(one for one in found if one))


def level_ways(
    runs: Sequence[PanelRun], rules: PanelRules, lines: Sequence[Joints] | None
) -> Iterator[Arranged]:
    """Ways of jointing all runs in the same lines: in these, or on members where there are none.

    A run that one sheet holds is whole.
    """
    long = sorted(
        (run for run in runs if run.high - run.low > rules.most),
        key=lambda run: (run.low - run.high, run.row),
    )
    tried = islice(_on_members(long, rules), MOST_WAYS) if lines is None else iter(lines)
    for line in ((), *tried):
        joints = tuple(_of(run, rules, line) for run in runs)
        if all(_is_legal(run, rules, own) for run, own in zip(runs, joints, strict=True)):
            near = sum(at in run.shut for run, own in zip(runs, joints, strict=True) for at in own)
            yield Arranged(joints, near)


def _on_members(
    runs: Sequence[PanelRun], rules: PanelRules, done: int = 0, line: Joints = ()
) -> Iterator[Joints]:
    """Lines on members that serve the runs; those before `done` are served and gain no joint."""
    if done == len(runs):
        yield line
        return
    run, before = runs[done], runs[:done]
    own = set(_of(run, rules, line))
    for way in islice(every_way(run, rules), MOST_WAYS):
        more = set(way) - own
        if own <= set(way) and not any(one.low < at < one.high for at in more for one in before):
            yield from _on_members(runs, rules, done + 1, tuple(sorted({*line, *more})))


def _of(run: PanelRun, rules: PanelRules, line: Joints) -> Joints:
    if run.high - run.low <= rules.most:
        return ()
    return tuple(at for at in line if run.low < at < run.high)


def _is_legal(run: PanelRun, rules: PanelRules, joints: Joints) -> bool:
    if not joints:
        return run.high - run.low <= rules.most
    ends = pairwise((None, *joints, None))
    return set(joints) <= set(run.stations) and all(legal(run, rules, *end) for end in ends)
