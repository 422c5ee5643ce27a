"""How much of a liquid coats, beads and filled holes take, in exact numbers (20.3 to 20.5)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from service.products.liquid_rows import Coated, Filled, LiquidRow, Plugged
from service.products.trace_rows import TraceInput
from service.takeoff.tracing import Trace, given
from service.units.ticks import FOOT, INCH, MM
from service.units.volumes import QUARTER_PI


@dataclass(frozen=True, slots=True)
class Gallon:
    """What volumes are told in: its name, its cubic ticks, and whether the job is metric."""

    name: str
    size: int
    metric: bool


def explain_liquid(trace: Trace, row: LiquidRow, place: str, gallon: Gallon) -> None:
    """Add the volume that one row of `liquids` takes."""
    times = given(f"{row.use}s", row.times, f"liquids: {place}")
    if isinstance(row.worked, Coated):
        formula, inputs, rule = *_coat(row, row.worked, place, gallon), "20.3"
    elif isinstance(row.worked, Filled):
        formula, inputs, rule = *_bead(row, row.worked, place, gallon), "20.4"
    else:
        formula, inputs, rule = *_hole(row.worked, gallon), "20.5"
    result = Fraction(row.cubic_ticks, gallon.size)
    trace.step(f"used, {place}", formula, result, [*inputs, times], rule,
               unit=gallon.name, table="liquids")  # fmt: skip


def _coat(
    row: LiquidRow, coat: Coated, place: str, gallon: Gallon
) -> tuple[str, Sequence[TraceInput]]:
    square, name = ((1000 * MM) ** 2, "m2") if gallon.metric else (FOOT**2, "ft2")
    inputs = [
        given("area", Fraction(row.area or 0, 2 * square), f"liquids: {place}", name),
        given("spread", coat.spread * gallon.size / square, "spread of the product",
              f"{name}/{gallon.name}"),
        given("first", coat.first, "rule 20.3, raw_spread, or 1"),
    ]  # fmt: skip
    return "area / spread * (1 / first + coats - 1)", inputs


def _bead(
    row: LiquidRow, bead: Filled, place: str, gallon: Gallon
) -> tuple[str, Sequence[TraceInput]]:
    one, name = _small(gallon)
    inputs = [
        given("length", Fraction(row.length or 0, one), f"liquids: {place}", name),
        given("width", Fraction(bead.width, one), "width of the bead", name),
        given("depth", Fraction(bead.depth, one), "depth of the bead", name),
        given("share", bead.share, "1/2 of a fillet, else 1"),
        given("holds", Fraction(gallon.size, one**3), "arithmetic", f"{name}3"),
    ]
    return "length * beads * width * depth * share / holds", inputs


def _hole(hole: Plugged, gallon: Gallon) -> tuple[str, Sequence[TraceInput]]:
    one, name = _small(gallon)
    inputs = [
        given("width", Fraction(hole.width, one), "width of the filler", name),
        given("depth", Fraction(hole.depth, one), "depth of the filler", name),
        given("share", QUARTER_PI, "a circle of its square, to seven digits"),
        given("holds", Fraction(gallon.size, one**3), "arithmetic", f"{name}3"),
    ]
    return "fills * width * width * depth * share / holds", inputs


def _small(gallon: Gallon) -> tuple[int, str]:
    """What sections are told in: inches or millimetres, and its name."""
    return (MM, "mm") if gallon.metric else (INCH, "in")
