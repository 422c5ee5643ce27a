"""Bans near holes and steps, given up run by run where no joint keeps them (5.5)."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from service.cutting.records import Stock
from service.joints.job import least_pieces
from service.joints.records import JointRules, JointRun
from service.layout.runs import Run
from service.products.kinds.boarding.joining.bans import SOFT, Ban, Bans, Key
from service.products.kinds.boarding.records import Boards, LaidBoards


def lifted(
    layer: LaidBoards,
    rules: JointRules,
    bans: Bans,
    free: Sequence[JointRun],
    stocks: Sequence[Stock],
) -> Bans | None:
    """The bans with those of single runs lowered, as little as lets each be jointed by itself.

    `free` are the layer's runs without soft bans. None where every run can be jointed, or none is
    kept from it by a ban.
    """
    boards: Boards = layer.detail
    endless = tuple(replace(stock, supply=None) for stock in stocks)
    lower = bans

    for run, all_stations in zip(boards.laid.runs, free, strict=True):

        def jointed(tried: Bans, run: Run = run, made: JointRun = all_stations) -> bool:
            own = tried.of(run, boards)
            left = tuple(at for at in made.stations if not any(one.shuts(at) for one in own))
            return least_pieces(replace(made, stations=left), rules, endless) is not None

        lower = _lowered(lower, run, boards, all_stations.stations, jointed)
    return None if lower == bans else lower


def _lowered(
    bans: Bans, run: Run, boards: Boards, stations: Sequence[int], jointed: Callable[[Bans], bool]
) -> Bans:
    """One run's bans lowered as little as lets it be jointed: beside holes first, both last."""
    soft = [one for one in bans.of(run, boards) if one.key in SOFT]
    if not soft or jointed(bans):
        return bans
    beside, same = SOFT
    for kept, key in ((bans, beside), (bans, same), (bans.eased_in([run], beside), same)):
        lower = [kept.eased_in([run], key, off) for off in _clear(soft, key, stations)]
        if lower and jointed(lower[-1]):
            return lower[bisect_left(lower[:-1], True, key=jointed)]
    return bans


def _clear(soft: Sequence[Ban], key: Key, stations: Sequence[int]) -> list[int]:
    """Distances worth trying instead of a ban's own, the largest first, 0 last."""
    own = [one for one in soft if one.key == key]
    found = {one.clear(at) for one in own for at in stations if one.shuts(at)}
    return sorted({0, *found}, reverse=True) if own else []


def widening(bans: Bans, boards: Boards, near: int) -> Iterator[list[Bans]]:
    """Bans given up in ever more courses around run `near`: first beside holes, then all."""
    middle = boards.laid.runs[near].course
    held = [run for run in boards.laid.runs if any(o.key in SOFT for o in bans.of(run, boards))]
    reaches = sorted({abs(run.course - middle) for run in held})
    lower = bans
    for key in SOFT:
        made = []
        for reach in reaches:
            within = [run for run in held if abs(run.course - middle) <= reach]
            made.append(lower.eased_in(within, key))
        yield made
        lower = made[-1] if made else bans
