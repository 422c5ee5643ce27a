"""Wrap on a surface: which way it runs, its widths, strips and laps, before any roll is opened."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import atan2, degrees
from typing import Literal

from service.errors import Cure, Fault, Finding, Ticks, TradeRefused
from service.geometry.frame import Frame, frame_of
from service.geometry.plane import difference, grown, union
from service.geometry.rings import Polygon, Region, bounds, twice_area
from service.layout.widths import Seam, Strip, Width, seams_between, strips_over, widths_over
from service.products.kind import Areas, LaidLayer, Offered, Said, Task
from service.products.rows import AlternativeRow, CourseRow
from service.units.ticks import FOOT, INCH
from service.units.writing import both

LEAST_SIDE_LAP, LEAST_END_LAP = 2 * INCH, 6 * INCH
"""Least laps of a wall's barrier: International Residential Code, section R703.2."""


@dataclass(frozen=True, slots=True)
class Wrap:
    """What the kind keeps of a laid layer for supplying, fastening and drawing.

    Regions are in the stations of `frame`: `cover` with the turn-downs and without openings that
    are left out, `outline` the surface, `open` the openings as cut.
    """

    frame: Frame
    cover: Region
    outline: Region
    open: Region
    widths: tuple[Width, ...]
    strips: tuple[Strip, ...]
    seams: tuple[Seam, ...]

    @property
    def length(self) -> int:
        """Length of all strips, without end laps."""
        return sum(strip.high - strip.low for strip in self.strips)


def lay(task: Task, said: Said) -> LaidLayer:
    """Lay the wrap of one layer; raises TradeRefused where the roll is no wider than its lap."""
    _check_laps(task, said)
    directions = _directions(task)
    made = [_wrap(task, direction) for direction in directions]
    best = min(range(len(made)), key=lambda k: (made[k].length, len(made[k].widths), k))
    wrap, direction = made[best], directions[best]
    task.rules.note(
        "13.2", "direction", round(float(direction), 6),
        "default" if task.layer.direction is None else "layer",
    )  # fmt: skip
    _say_order(task, said)
    region = twice_area(difference(wrap.outline, wrap.open))
    return LaidLayer(
        task,
        direction,
        Areas(region, region),
        tuple(_row(task, width) for width in wrap.widths),
        tuple(_alternatives(task, directions, made, best)),
        wrap,
        Offered(task.product.thickness or 0),
    )


def _check_laps(task: Task, said: Said) -> None:
    lap, end = task.rules.get("wrap_lap"), task.rules.get("wrap_end_lap")
    width = task.product.width
    if width <= lap:
        raise TradeRefused(
            Fault(
                "roll-too-narrow",
                f"a roll {both(width)} wide is no wider than its lap of {both(lap)}",
                f"{task.product_pointer}/width",
                cure=Cure(f"{task.pointer}/rules/wrap_lap", Ticks(width // 9)),
                rule="13.2",
                measure=width,
                limit=lap,
            )
        )
    for key, least, sent in (
        ("wrap_lap", LEAST_SIDE_LAP, lap),
        ("wrap_end_lap", LEAST_END_LAP, end),
    ):
        if sent < least:
            said.find(
                Finding(
                    "lap-short",
                    task.at,
                    f"a lap of {both(sent)} is under the {both(least)} that a wall needs (IRC "
                    "R703.2); for a ceiling follow the project and the printed instruction",
                    rule="13.1",
                    measure=sent,
                    limit=least,
                    cure=Cure(f"{task.pointer}/rules/{key}", Ticks(least)),
                )
            )


def _directions(task: Task) -> list[Fraction]:
    """Directions to try: the one sent; level on a slope or wall; otherwise along and across."""
    surface = task.surface
    if task.layer.direction is not None:
        asked = Fraction(task.layer.direction) % 180
        return [(180 - asked) % 180 if surface.mirrored else asked]
    if surface.slope is not None:
        x, y = surface.slope.up
        up = Fraction(round(degrees(atan2(y, -x if surface.mirrored else x)) * 10**6), 10**6)
        return [(up + 90) % 180]
    if surface.type == "wall":
        return [Fraction(0)]
    if not surface.members:
        return [Fraction(0), Fraction(90)]
    member = surface.members[0]
    across = Fraction(round(degrees(atan2(member.b, member.a)) * 10**6), 10**6) % 180
    return [across, (across + 90) % 180]


def _wrap(task: Task, direction: Fraction) -> Wrap:
    surface, rules = task.surface, task.rules
    frame = frame_of(surface.outline, direction)
    joined = rules.choose("13.1", "at_walls", task.layer.at_walls, "turned")
    turn = rules.get("turn_down", f"turn_down_{joined}")
    limit = rules.get("deduct_over")
    large = [one.cut for one in surface.openings if twice_area(one.drawn) > 2 * FOOT**2 * limit]
    cover = (
        difference(grown(surface.outline, turn), union(large))
        if large
        else grown(surface.outline, turn)
    )
    cover = frame.region(cover)
    _, _, low, high = bounds(cover)
    widths = widths_over(
        low, high, task.product.width, rules.get("wrap_lap"), _starts_low(task, frame)
    )
    strips = strips_over(cover, widths)
    return Wrap(
        frame,
        cover,
        frame.region((Polygon(surface.outline),)),
        frame.region(union(opening.cut for opening in surface.openings)),
        widths,
        strips,
        seams_between(widths, strips),
    )


def _starts_low(task: Task, frame: Frame) -> bool:
    """Whether width 1 lies on the low side: as sent, or the lower side of a slope (13.4)."""
    side: Literal["low", "high"] = "low"
    surface = task.surface
    if surface.slope is not None:
        x, y = surface.slope.up
        rise = (-x if surface.mirrored else x) * frame.across[0] + y * frame.across[1]
        side = "high" if rise < -1e-9 else "low"
    chosen: str = task.rules.choose("13.4", "start_side", task.layer.start_side, side)
    return chosen == "low"


def _say_order(task: Task, said: Said) -> None:
    """On a slope or wall the upper width laps over the lower (13.4)."""
    if task.surface.slope is not None or task.surface.type == "wall":
        said.find(
            Finding(
                "laps-shed-water",
                task.at,
                "lay width 1 first, at the low side; each further width laps over the one below "
                "it, so that water runs off",
                rule="13.4",
            )
        )


def _row(task: Task, width: Width) -> CourseRow:
    near, far = (width.low, width.high) if width.starts_low else (width.high, width.low)
    return CourseRow(
        task.surface.id, task.layer_id, width.number, near, far, width.high - width.low, "none",
        "none", "" if width.number == 1 else f"laps width {width.number - 1}", width.lap,
    )  # fmt: skip


def _alternatives(
    task: Task, directions: list[Fraction], made: list[Wrap], best: int
) -> list[AlternativeRow]:
    order = sorted(range(len(made)), key=lambda k: (k != best, made[k].length))
    return [
        AlternativeRow(
            task.surface.id, task.layer_id, rank + 1, f"direction {float(directions[k]):g}",
            len(made[k].widths), task.product.width, task.product.width, k == best,
            f"{both(made[k].length)} of roll",
        )
        for rank, k in enumerate(order)
    ]  # fmt: skip
