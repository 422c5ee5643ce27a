"""Which way of laying the courses is used: what was asked for, or the best of all (3.9)."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

from service.errors import Cure, Fault, Ticks, TradeRefused
from service.geometry.frame import Frame
from service.geometry.rings import Region, bounds
from service.layout.courses import (
    Edges,
    Feature,
    Limits,
    Ranked,
    Scheme,
    Widths,
    equal,
    ranked,
    schemes,
)
from service.products.kind import Task
from service.products.kinds.boarding.board import Board
from service.units.writing import both


def _reversed(task: Task) -> bool:
    """Whether mirroring turned the stations across the boards round."""
    return task.surface.mirrored and Fraction(task.layer.direction) % 180 == 90


def starts_at_low_side(task: Task) -> bool:
    """Whether course 1 lies on the low side, facing the finished side."""
    side: str = task.rules.choose("3.10", "start_side", task.layer.start_side, "low")
    return (side == "low") != _reversed(task)


def choose(
    task: Task, board: Board, inset: Region, cut_by_walls: Region, frame: Frame
) -> tuple[Ranked, list[Ranked], int]:
    """The way of laying the courses that is used, all that were compared, and the spacer."""
    rules = task.rules
    spacer = rules.choose("2.1", "spacer", task.layer.spacer, 0)
    if board.has_tongue and spacer >= board.lap:
        at = f"{task.pointer}/spacer"
        raise TradeRefused(
            Fault(
                "spacer-too-wide",
                f"a spacer of {both(spacer)} pulls a tongue of {both(board.lap)} out of its groove",
                at,
                cure=Cure(at, 0),
                rule="2.1",
                measure=spacer,
                limit=board.lap,
            )
        )
    _, _, low, high = bounds(inset)
    widths = Widths(high - low, board.coverage, spacer)
    starts_low = starts_at_low_side(task)
    features = _features(task, inset, frame, starts_low)
    preferred = rules.get("preferred_rip", fallback=board.coverage // 2)
    limits = Limits(preferred, rules.get("min_rip"), rules.get("feature_tolerance"))
    if task.layer.start == "equal" and not board.lapped:
        at = f"{task.pointer}/start"
        raise TradeRefused(
            Fault(
                "equal-needs-lapped",
                "only lapped boards can share a width by equal exposure",
                at,
                cure=Cure(at, "balanced"),
                rule="3.15",
            )
        )
    found = schemes(widths, features, rules.get("spacer_max"))
    wished = task.layer.start or ("equal" if board.lapped else None)
    if wished == "equal":
        found.append(equal(widths))
    judged = ranked(found, features, _edges(cut_by_walls, starts_low), limits)
    rules.choose("3.9", "start", task.layer.start, wished or "balanced")
    chosen = _wished(judged, found, wished)
    if chosen is None or chosen.fails:
        chosen = _cured(task, judged, chosen, limits)
    if chosen.scheme.spacer != spacer:
        rules.note("3.7", "spacer", Ticks(chosen.scheme.spacer), "aim")
    return chosen, judged, chosen.scheme.spacer


def _wished(judged: list[Ranked], found: list[Scheme], wished: str | None) -> Ranked | None:
    """The scheme asked for, None if there is none such; without a wish the best but the narrow."""
    if wished is None:
        return next(one for one in judged if one.scheme.start != "balanced_narrow")
    asked = next((scheme for scheme in found if scheme.start == wished), None)
    if asked is None:
        return None
    return next(one for one in judged if one.scheme.strips == asked.strips)


def _cured(task: Task, judged: list[Ranked], chosen: Ranked | None, limits: Limits) -> Ranked:
    """A failing scheme is refused with the start that works, or used if the caller relaxes."""
    able = [one for one in judged if not one.fails and one.scheme.start != "aim"]
    if chosen is not None and task.relax:
        return chosen
    cure = Cure(f"{task.pointer}/start", able[0].scheme.start) if able else None
    smallest = 0 if chosen is None else chosen.smallest_rip or 0
    if cure is None or cure.value == task.layer.start:
        cure = Cure(f"{task.pointer}/rules/min_rip", Ticks(smallest))
    raise TradeRefused(
        Fault(
            "rip-too-small",
            f"this start leaves a rip of {both(smallest)}, under the least of {both(limits.hard)}",
            f"{task.pointer}/start",
            cure=cure,
            rule="3.9",
            measure=smallest,
            limit=limits.hard,
        )
    )


def _features(task: Task, inset: Region, frame: Frame, starts_low: bool) -> list[Feature]:
    """Aims as distances from the start edge of the region."""
    _, _, low, high = bounds(inset)
    width = max(frame.to(point)[1] for point in task.surface.outline)
    found = []
    for aim in task.layer.aim or ():
        at = task.surface.true_station(frame.across, aim.at)
        at = width - at if _reversed(task) else at
        found.append(Feature(at - low if starts_low else high - at, aim.on))
    return found


def _edges(inset: Region, starts_low: bool) -> Edges:
    """Edges of the region along the boards, inside its width, as seen from the start."""
    _, _, low, high = bounds(inset)
    above: set[int] = set()
    below: set[int] = set()
    for polygon in inset:
        ring = polygon.outer
        for a, b in pairwise([*ring, ring[0]]):
            if a[1] == b[1] and low < a[1] < high:
                (above if b[0] > a[0] else below).add(a[1])
    if starts_low:
        return Edges(tuple(sorted(v - low for v in above)), tuple(sorted(v - low for v in below)))
    return Edges(tuple(sorted(high - v for v in below)), tuple(sorted(high - v for v in above)))
