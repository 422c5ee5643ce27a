"""Rolls that cannot be laid, and what should be said of those that are (13.1 to 13.4)."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import atan2, degrees

from service.errors import Cure, Fault, Finding, Ticks, TradeRefused
from service.geometry.rings import bounds
from service.layout.widths import Width, count
from service.products.kinds.wrap.records import Wrap
from service.products.kinds.wrap.rulings import Task
from service.products.kinds.wrap.slope import rise_of
from service.products.remarks import Remarks
from service.units.ticks import INCH, SIXTEENTH, down, up
from service.units.writing import both, counted

LEAST_SIDE_LAP, LEAST_END_LAP = 2 * INCH, 6 * INCH
"""Least laps of a wall's barrier: International Residential Code, section R703.2."""

MOST_WIDTHS = 1_000
"""More widths on one surface are refused: nobody lays a roll that gains so little."""

_LEVEL = 1e-3
"""Sine of the steepest widths that still count as level: a sixteenth of an inch in five feet."""


def refuse_narrow(task: Task) -> None:
    """A roll that is no wider than its lap covers nothing (13.2)."""
    lap, width = task.rules.wrap_lap, task.product.width
    if width > lap:
        return
    raise TradeRefused(
        Fault(
            "roll-too-narrow",
            f"a roll {both(width)} wide is no wider than its lap of {both(lap)}",
            f"{task.product_pointer}/width",
            cure=Cure(f"{task.pointer}/rules/wrap_lap", Ticks(_usual_lap(width))),
            rule="13.2",
            measure=width,
            limit=lap,
        )
    )


def say_round_corners(task: Task, said: Remarks) -> None:
    """Enter at which corners of walls wrap goes on, and where it ends there (3.16)."""
    laps = [(edge, task.rules.corner_lap(edge)) for edge in task.surface.edges]
    on = [lap for _, lap in laps if lap]
    if not any(lap is not None for _, lap in laps):
        return
    goes = f"goes on by {both(max(on))} round {counted(len(on), 'corners')}" if on else ""
    ends = sum(lap == 0 for _, lap in laps)
    stops = f"ends in {counted(ends, 'corners')}, over what comes round there" if ends else ""
    said.find(
        Finding(
            "wrap-round-corner",
            task.at,
            f"the wrap {' and '.join(part for part in (goes, stops) if part)}: bring round first "
            "the wrap that goes on, and lap that of the next wall over it",
            rule="3.16",
            measure=max(on, default=0),
        )
    )


def refuse_many(task: Task, across: int) -> None:
    """A roll that gains next to nothing on `across` ticks, its lap taken off."""
    lap, width = task.rules.wrap_lap, task.product.width
    number = count(across, width, lap)
    if number <= MOST_WIDTHS:
        return
    cure = Cure(f"{task.pointer}/rules/wrap_lap", Ticks(_usual_lap(width)))
    if count(across, width, _usual_lap(width)) > MOST_WIDTHS:
        wider = lap + up(2 * across // MOST_WIDTHS, INCH)
        cure = Cure(f"{task.product_pointer}/width", Ticks(wider))
    raise TradeRefused(
        Fault(
            "too-many-widths",
            f"{number} runs would lie on {both(across)}, and at most {MOST_WIDTHS} are taken: "
            f"with its lap of {both(lap)} a roll {both(width)} wide gains next to nothing",
            f"{task.product_pointer}/width",
            cure=cure,
            rule="13.2",
        )
    )


def _usual_lap(width: int) -> int:
    """The least side lap, or less on a roll that is too narrow for it."""
    return min(LEAST_SIDE_LAP, down(width // 4, SIXTEENTH))


def say_what_was_laid(task: Task, wrap: Wrap, said: Remarks) -> None:
    """Enter the findings of one laid layer."""
    say_round_corners(task, said)
    _short_laps(task, said)
    _order(task, wrap, said)
    _last(task, wrap, said)


def _short_laps(task: Task, said: Remarks) -> None:
    rules = task.rules
    for key, sent, least in (
        ("wrap_lap", rules.wrap_lap, LEAST_SIDE_LAP),
        ("wrap_end_lap", rules.wrap_end_lap, LEAST_END_LAP),
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


def _order(task: Task, wrap: Wrap, said: Remarks) -> None:
    """On a slope or wall the upper width laps over the lower (13.4)."""
    rise = rise_of(task.surface)
    if rise is None or len(wrap.widths) < 2:
        return
    along, across = wrap.frame.along, wrap.frame.across
    if abs(along[0] * rise[0] + along[1] * rise[1]) > _LEVEL:
        said.find(_not_level(task))
    elif _starts_at_foot(wrap.widths, across[0] * rise[0] + across[1] * rise[1]):
        said.find(
            Finding(
                "laps-shed-water",
                task.at,
                "lay run 1 first, at the low side; each further run laps over the one below "
                "it, so that water runs off",
                rule="13.4",
            )
        )
    else:
        said.find(_against_water(task))


def _starts_at_foot(widths: Sequence[Width], rise: float) -> bool:
    return widths[0].starts_low == (rise > 0)


def _not_level(task: Task) -> Finding:
    x, y = rise_of(task.surface) or (0.0, 1.0)
    level = Fraction(round(degrees(atan2(y, x)) * 10**6), 10**6) + 90
    return Finding(
        "widths-not-level",
        task.at,
        "the runs are not level: no side lap lies over the one below it, and water can run "
        "in between; run them level",
        rule="13.4",
        cure=Cure(f"{task.pointer}/direction", float(task.surface.facing(level))),
    )


def _against_water(task: Task) -> Finding:
    other = "high" if task.layer.start_side == "low" else "low"
    return Finding(
        "laps-against-water",
        task.at,
        "run 1 lies at the high side, so that each further run laps over the one above it and "
        "water runs behind: start at the low side",
        rule="13.4",
        cure=Cure(f"{task.pointer}/start_side", other),
    )


def _last(task: Task, wrap: Wrap, said: Remarks) -> None:
    """A last width that only the turn-downs at both sides need (13.1, 13.2)."""
    _, _, low, high = bounds(wrap.outline)
    roll, lap, number = task.product.width, task.rules.wrap_lap, len(wrap.widths)
    covered = roll + (number - 2) * (roll - lap)
    turn = (covered - (high - low)) // 2
    if number < 2 or turn < 0:
        return
    first, last = wrap.cover
    less = f"with turn-downs of {both(turn)}" if turn else "without turn-downs"
    said.find(
        Finding(
            "width-for-turn-down",
            task.at,
            f"run {number} only covers the turn-down: {less} {number - 1} would do",
            rule="13.2",
            measure=last - first - covered,
            limit=turn,
            # Without turn-downs nothing is laid but what the surface itself takes: sure.
            cure=Cure(f"{task.pointer}/rules/turn_down", Ticks(turn), sure=not turn),
        )
    )
