"""Zones of lapped boards, between lines at which their courses begin (3.15)."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from service.errors import Fault, TradeRefused
from service.geometry.frame import Frame
from service.layout.exposures import zones_of
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
    zones = zones_of(net, inside, max(1, least), most)
    if zones is None:
        low = min(b - a for a, b in pairwise(sorted({0, *inside, net})))
        text = (
            f"no courses of equal exposure from {both(least)} to {both(most)} fill every zone "
            f"between these lines, of which the lowest is {both(low)}: leave one out, or let the "
            "boards show less"
        )
        raise TradeRefused(Fault("zone-unfilled", text, at, rule="3.15", measure=low, limit=least))
    return replace(ways, zones=zones)


def station_of(task: Task, frame: Frame, sent: int) -> int:
    """The station across of one that was sent."""
    at = task.surface.true_station(frame.across, sent)
    width = max(frame.to(point)[1] for point in task.surface.outline)
    return width - at if is_reversed(task) else at
