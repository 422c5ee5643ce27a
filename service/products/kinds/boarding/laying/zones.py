"""Zones of lapped boards, between lines at which their courses begin (3.15)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from service.errors import Cure, Fault, Ticks, TradeRefused
from service.geometry.frame import Frame
from service.geometry.rings import bounds
from service.layout.courses import Feature
from service.layout.exposures import Zone, zones_of
from service.products.kinds.boarding.laying.corners import is_reversed
from service.products.kinds.boarding.rulings import Task
from service.products.kinds.boarding.ways import Ways
from service.units.ticks import SIXTY_FOURTH
from service.units.writing import both


def in_zones(task: Task, ways: Ways, frame: Frame) -> Ways:
    """The ways of lapped boards whose courses begin at lines; refused where none keeps the least.

    A line that does not lie in what is boarded parts nothing.
    """
    at, most, net = f"{task.pointer}/course_lines", ways.widths.coverage, ways.widths.net
    if not ways.lapped:
        text = "only lapped boards can lap by more or less, so that courses begin at given lines"
        raise TradeRefused(Fault("lines-need-lapped", text, at, rule="3.15"))
    least = task.rules.least_exposure(most)
    lines = [ways.feature(station_of(task, frame, line), "joint").at
             for line in task.layer.course_lines or ()]  # fmt: skip
    inside = [line for line in lines if SIXTY_FOURTH < line < net - SIXTY_FOURTH]
    zones = _zones(task, ways, inside)
    if zones is None:
        low = min(b - a for a, b in pairwise(sorted({0, *inside, net})))
        text = (
            f"no courses of equal exposure from {both(least)} to {both(most)} fill every zone "
            f"between these lines, of which the lowest is {both(low)}: leave one out, or let the "
            "boards show less"
        )
        raise TradeRefused(Fault("zone-unfilled", text, at, rule="3.15", measure=low, limit=least))
    return replace(ways, zones=zones)


def _zones(task: Task, ways: Ways, lines: Sequence[int]) -> tuple[Zone, ...] | None:
    """The zones between lines at distances from the start edge, None where one is not filled."""
    least = task.rules.least_exposure(ways.widths.coverage)
    return zones_of(ways.widths.net, lines, max(1, least), ways.widths.coverage)


def lines_that_cure(
    task: Task, ways: Ways, frame: Frame, features: Sequence[Feature]
) -> Cure | None:
    """Courses that begin at the edges which equal ones leave a rip at: at all, or else at one.

    So a sider does at the head of a door, before a strip is ripped over it (3.15).
    """
    if not ways.lapped or ways.zones:
        return None
    heads = sorted({*ways.edges.near_side, *ways.edges.far_side})
    for lines in (heads, *([one] for one in heads)):
        zones = _zones(task, ways, lines)
        if zones:
            chosen, _ = replace(ways, zones=zones, sent=None).best(features)
            if chosen is not None and not chosen.fails:
                return _beginning_at(task, ways, frame, lines)
    return None


def _beginning_at(task: Task, ways: Ways, frame: Frame, lines: Sequence[int]) -> Cure | None:
    """The cure that says so; None where a slope leaves no such height to be sent."""
    _, _, low, high = bounds(ways.inset)
    stations = [low + at if ways.starts_low else high - at for at in lines]
    sent = sorted(_turned(task, frame, at) for at in stations)
    if sorted(station_of(task, frame, at) for at in sent) != sorted(stations):
        return None
    start = Cure(f"{task.pointer}/start", "equal")
    also = () if task.layer.start in (None, "equal") else (start,)
    return Cure(f"{task.pointer}/course_lines", [Ticks(at) for at in sent], also=also)


def station_of(task: Task, frame: Frame, sent: int) -> int:
    """The station across of one that was sent."""
    return _turned(task, frame, task.surface.true_station(frame.across, sent))


def _turned(task: Task, frame: Frame, at: int) -> int:
    """A station across seen from the other side where mirroring turned them round."""
    width = max(frame.to(point)[1] for point in task.surface.outline)
    return width - at if is_reversed(task) else at
