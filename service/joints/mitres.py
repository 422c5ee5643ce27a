"""What slanted ends can save of the sticks: two that lie alike may share a cut (4.5, 8.8).

Neighbours in a stick clear each other along every line of the face. So their long points overlap
by no more than both ends together lie behind them at either edge: nothing where one slants to the
left and one to the right, and never more than the less deep of two ends does. All pieces of a
board with a tongue or a lap lie one way round in its sticks, so a low end only meets high ends.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from service.joints.records import JointRun, Slant

End = tuple[int, bool]
"""Number of a run, and whether it is its high end."""


def with_mitres(runs: Sequence[JointRun], *, turns: bool) -> tuple[JointRun, ...]:
    """The runs with what each end may save, so that no sticks of all of them save more.

    Two ends save no more than they are behind their long points in the mean, together. Where that
    promises less, or boards can `turn` and lie any way in a stick, each end has its mean.
    """
    saved = {end: slant.mean for end, slant in _ends(runs)}
    if not turns:
        saved = min(saved, _by_side(runs), key=_sum)
    each = [(saved.get((k, False), 0), saved.get((k, True), 0)) for k in range(len(runs))]
    return tuple(
        run if run.mitres == own else replace(run, mitres=own)
        for run, own in zip(runs, each, strict=True)
    )


def leaning(runs: Sequence[JointRun]) -> tuple[JointRun, ...]:
    """The runs with how their ends lean, so that only such as lean alike save, two together.

    An end that a piece of any shape might meet saves all of that by itself.
    """
    return tuple(_leaning(run) for run in runs)


def _leaning(run: JointRun) -> JointRun:
    own = [(slant, high) for slant, high in zip(run.slants, (False, True), strict=True)]
    if run.installed is not None:
        return run
    low, high = (max(slant.near, slant.far) * bool(slant.near and slant.far) for slant, _ in own)
    leans = [
        0 if slant.near and slant.far else _deep(run, slant, high=high_end)
        for slant, high_end in own
    ]
    return replace(run, mitres=(low, high), leans=(leans[0], leans[1]))


def _deep(run: JointRun, slant: Slant, *, high: bool) -> int:
    """How deep an end is that has its long point at an edge; under 0 where it falls."""
    deep = slant.near or slant.far
    return deep if _lies(run, slant, high=high)[1] else -deep


def _by_side(runs: Sequence[JointRun]) -> dict[End, int]:
    """All that two ends save put down to one of them: to the side, low or high, that has less.

    An end that a piece of any shape might meet has all of that by itself.
    """
    saved: dict[End, int] = {}
    sides: dict[tuple[bool, bool], dict[End, int]] = {
        (high, rising): {} for high in (False, True) for rising in (False, True)
    }
    for end, slant in _ends(runs):
        if slant.near and slant.far:
            saved[end] = max(slant.near, slant.far)
        elif slant.near or slant.far:
            high, rising = _lies(runs[end[0]], slant, high=end[1])
            sides[high, rising][end] = slant.near or slant.far
    for rising in (False, True):
        lows, highs = sides[False, rising], sides[True, rising]
        saved |= lows if _sum(lows) <= _sum(highs) else highs
    return saved


def _sum(saved: dict[End, int]) -> int:
    return sum(saved.values())


def _ends(runs: Sequence[JointRun]) -> list[tuple[End, Slant]]:
    return [
        ((k, high), run.slants[high])
        for k, run in enumerate(runs)
        if run.installed is None
        for high in (False, True)
    ]


def _lies(run: JointRun, slant: Slant, *, high: bool) -> tuple[bool, bool]:
    """Whether an end of a run is the high one of its boards, and rises from near to far there.

    Turned half round it is the other end, and slants as before.
    """
    rises = bool(slant.near) if high else bool(slant.far)
    return high != run.turned, rises
