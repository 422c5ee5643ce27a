"""The laws of laid sheets (11.1, 11.5), checked on what was made."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from service.products.kinds.sheathing.records import PlacedSheets, Sheets


def violations(placed: PlacedSheets) -> list[str]:
    """Every end joint without a member, or too near to one of the row before."""
    return [f"{placed.laid.task.at}: {law}" for law in _violations(placed.laid.detail)]


def _violations(sheets: Sheets) -> Iterator[str]:
    runs = list(zip(sheets.laid.runs, sheets.joints, strict=True))
    for run, joints in runs:
        stations = sheets.lines[run.course - 1].stations
        for at in joints:
            if not sheets.along_framing and at not in stations:
                yield f"the joint at {at} is on no member"
        if any(b - a < sheets.rules.rules.least for a, b in pairwise(joints)):
            yield f"row {run.course} has a piece under the least length"
        for other, others in runs:
            touching = other.low < run.high and run.low < other.high
            if other.course != run.course - 1 or not touching:
                continue
            if any(abs(a - b) < sheets.rules.rules.stagger for a in joints for b in others):
                yield f"a joint of row {run.course} is too near to one of the row before"
