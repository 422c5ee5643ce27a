"""Bans near holes and steps, given up run by run where no joint keeps them (5.5)."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from service.cutting.records import Stock
from service.joints.records import JointRun
from service.joints.solve import least_pieces
from service.layout.runs import Run
from service.products.kinds.boarding.bans import SOFT, Ban, Bans, Key
from service.products.kinds.boarding.laying import Boards

if TYPE_CHECKING:
    from service.products.kinds.boarding.solving import Setting


def lifted(setting: Setting, stocks: Sequence[Stock]) -> Bans | None:
    """The bans with those of single runs lowered, as little as lets each be jointed by itself.

    None where every run can be, or none for want of a ban.
    """
    boards: Boards = setting.layer.detail
    free = replace(setting, bans=setting.bans.without(*SOFT)).runs(0, stocks)
    endless = tuple(replace(stock, supply=None) for stock in stocks)
    bans = setting.bans

    for run, all_stations in zip(boards.laid.runs, free, strict=True):

        def jointed(lower: Bans, run: Run = run, made: JointRun = all_stations) -> bool:
            own = lower.of(run, boards)
            left = tuple(at for at in made.stations if not any(one.shuts(at) for one in own))
            return least_pieces(replace(made, stations=left), setting.rules, endless) is not None

        bans = _lowered(bans, run, boards, all_stations.stations, jointed)
    return None if bans == setting.bans else bans


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
