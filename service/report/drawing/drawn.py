"""What the marks of one type put on a page."""

from __future__ import annotations

from dataclasses import dataclass

from service.report.drawing.labels import Label, Stroke


@dataclass(frozen=True, slots=True)
class Drawn:
    """What the marks of one type put on a page: SVG, and labels to be placed.

    `over` puts the ink over the members' centre lines. `short` tells that some marks could not
    be labelled for want of room. `kept` are lines that other marks' labels keep off.
    """

    ink: str
    labels: tuple[Label, ...] = ()
    over: bool = True
    short: bool = False
    kept: tuple[Stroke, ...] = ()
