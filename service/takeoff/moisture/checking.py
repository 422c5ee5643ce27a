"""What must be so before boards go up, held against its limit one by one (3.14, 26.2, 26.3)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, TypeAlias

from service.moisture.joints import Room
from service.moisture.meter import Readings
from service.moisture.movement import holds
from service.takeoff.moisture.rows import MoistureCheckRow, Result, Verdict
from service.takeoff.moisture.rulings import MoistureRulings
from service.takeoff.moisture.wood import Boards, Season, Wood, percent, tenths
from service.units.ticks import SIXTY_FOURTH, ceiling, whole
from service.units.writing import both, counted

THIRTY_SECOND = 2 * SIXTY_FOURTH


@dataclass(frozen=True, slots=True)
class Case:
    """Boards, the air that they will live in, the wood behind them, and what they are judged by."""

    boards: Boards
    seasons: Sequence[Season]
    framing: Wood | None
    rules: MoistureRulings

    @property
    def room(self) -> Room:
        """What the boards do in service."""
        return self.boards.room(self.seasons)

    @property
    def low(self) -> Fraction:
        """The least to which the air brings wood, percent."""
        return min(one.content for one in self.seasons)

    @property
    def high(self) -> Fraction:
        """The most."""
        return max(one.content for one in self.seasons)


def checks(case: Case) -> tuple[MoistureCheckRow, ...]:
    """Every check of a case, those for which boards wait first."""
    return (
        *_at_service(case),
        *_like_the_framing(case),
        *_framing_dry(case),
        *_steady(case),
        *_enough_read(case),
        *_meter(case),
        *_joints(case),
        *_gap(case),
        *_formula(case),
    )


def verdict(rows: Sequence[MoistureCheckRow]) -> Verdict:
    """Whether boards may go up: not where a check fails that they wait for, or cannot be made."""
    waiting = {row.result for row in rows if row.holds_up}
    if "not_met" in waiting:
        return "hold"
    return "read_again" if "not_checkable" in waiting else "install"


@dataclass(frozen=True, slots=True)
class _Kind:
    """What checks have alike: what they measure, their rule, and whether boards wait for them."""

    measured_in: str
    rule: str
    holds_up: bool


_POINTS: Final = _Kind("points", "26.3", holds_up=True)
_READINGS: Final = _Kind("count", "26.2", holds_up=True)
_METER: Final = _Kind("points", "26.2", holds_up=False)
_LENGTH: Final = _Kind("length", "3.14", holds_up=False)
_TONGUE: Final = _Kind("length", "3.14", holds_up=True)
_FORMULA: Final = _Kind("points", "26.5", holds_up=False)

Measured: TypeAlias = Fraction | int | None


def _row(
    check: str, kind: _Kind, words: str, result: Result,
    found: Measured = None, limit: Measured = None,
) -> MoistureCheckRow:  # fmt: skip
    return MoistureCheckRow(
        check=check, found=_number(found), limit=_number(limit), measured_in=kind.measured_in,
        result=result, holds_up=kind.holds_up, rule=kind.rule, words=words,
    )  # fmt: skip


def _at_most(
    check: str, kind: _Kind, words: str, found: Measured, limit: Fraction | int
) -> MoistureCheckRow:
    """A check that is met where what was found is no more than its limit."""
    result: Result = "not_checkable" if found is None else _met(found <= limit)
    return _row(check, kind, words, result, found, limit)


def _number(value: Measured) -> str | int | None:
    return str(round(float(value), 4)) if isinstance(value, Fraction) else value


def _met(good: bool) -> Result:
    return "met" if good else "not_met"


def _at_service(case: Case) -> Iterator[MoistureCheckRow]:
    """Within what the air brings, or near its middle."""
    now, low, high = case.boards.wood.content, case.low, case.high
    middle = (low + high) / 2
    allowed = max(case.rules.most_off, (high - low) / 2)
    off = abs(now - middle)
    brings = percent(low) if low == high else f"{tenths(low)} to {percent(high)}"
    words = f"The boards are at {percent(now)}; the air there brings them to {brings}."
    if off > allowed:
        words += (
            f" They are {tenths(off)} points from the middle of that, and may be {tenths(allowed)}:"
            f" let them {'dry' if now > middle else 'take up moisture'} where they will live."
        )
    yield _at_most("boards_at_service", _POINTS, words, off, allowed)


def _like_the_framing(case: Case) -> Iterator[MoistureCheckRow]:
    limit = case.rules.most_apart(case.boards.coverage)
    if case.framing is None:
        words = "Nothing was sent of the wood behind the boards: read the framing too."
        yield _at_most("boards_and_framing", _POINTS, words, None, limit)
        return
    boards, framing = case.boards.wood.content, case.framing.content
    apart = abs(boards - framing)
    words = (
        f"The boards are at {percent(boards)}, the wood behind them at {percent(framing)}: "
        f"{tenths(apart)} points apart, and {tenths(limit)} may be."
    )
    yield _at_most("boards_and_framing", _POINTS, words, apart, limit)


def _framing_dry(case: Case) -> Iterator[MoistureCheckRow]:
    if case.framing is None:
        return
    found, limit = case.framing.content, case.rules.framing_most
    words = (
        f"The wood behind the boards is at {percent(found)}; dry lumber is at {percent(limit)} at "
        "most."
    )
    yield _at_most("framing_dry", _POINTS, words, found, limit)


def _steady(case: Case) -> Iterator[MoistureCheckRow]:
    """At rest: by two visits far enough apart, never by days on the site."""
    visits, hours, limit = case.boards.wood.visits, case.rules.steady_hours, case.rules.steady
    before = [one for one in visits[:-1] if visits[-1].hours - one.hours >= hours]
    if not before:
        words = (
            f"Read the boards twice, {hours} hours apart: only that shows whether they are at rest."
        )
        yield _at_most("boards_at_rest", _POINTS, words, None, limit)
        return
    moved = abs(visits[-1].content - before[-1].content)
    still = "at rest" if moved <= limit else "still moving: read them again"
    words = (
        f"The boards changed by {tenths(moved)} points in {visits[-1].hours - before[-1].hours} "
        f"hours, and {tenths(limit)} may be: they are {still}."
    )
    yield _at_most("boards_at_rest", _POINTS, words, moved, limit)


def _enough_read(case: Case) -> Iterator[MoistureCheckRow]:
    least = case.rules.least_readings
    for name, visits in _visits(case):
        found = min(len(one.values) for one in visits)
        words = f"{counted(found, 'readings')} of {name} at a visit; {least} are the least."
        result: Result = "met" if found >= least else "not_checkable"
        yield _row(f"{name}_read", _READINGS, words, result, found, least)


def _meter(case: Case) -> Iterator[MoistureCheckRow]:
    for name, visits in _visits(case):
        good = all(one.is_reliable for one in visits)
        words = (
            f"Every reading of {name} is from 4 to 30 %, where a meter can be relied on."
            if good
            else f"Some readings of {name} are under 4 or over 30 %, where no meter is reliable."
        )
        yield _row(f"{name}_meter", _METER, words, _met(good))


def _visits(case: Case) -> Iterator[tuple[str, Sequence[Readings]]]:
    for name, wood in (("boards", case.boards.wood), ("framing", case.framing)):
        if wood is not None and wood.visits:
            yield name, wood.visits


def _joints(case: Case) -> Iterator[MoistureCheckRow]:
    boards, rules, room = case.boards, case.rules, case.room
    slack = rules.slack
    swells, shrinks = ceiling(room.swells), ceiling(room.shrinks)
    closed = boards.spacer + slack
    words = f"{does('swell', swells)}; a joint may close by {both(closed)}."
    if swells > closed:
        words += f" Lay them with spacers of {both(room.spacer(slack, rules.spacer_step))}."
    yield _at_most("joints_close", _LENGTH, words, swells, closed)
    words = f"{does('shrink', shrinks)}; a joint may open by {both(slack)}."
    if shrinks > slack:
        words += " A bare line shows there: finish the tongues before they go up."
    yield _at_most("joints_open", _LENGTH, words, shrinks, slack)
    if boards.tongue:
        kept = max(0, boards.tongue - boards.spacer - rules.tongue_kept)
        words = f"Of a tongue of {both(boards.tongue)} a joint may open by {both(kept)}."
        good = not room.opens_too_far(boards.tongue - boards.spacer, rules.tongue_kept)
        yield _row("tongues_stay", _TONGUE, words, _met(good), shrinks, kept)


def _gap(case: Case) -> Iterator[MoistureCheckRow]:
    needed = case.room.gap(case.rules.gap_share, case.rules.gap_step)
    gap = case.boards.gap
    words = f"The gap at each wall must be {both(needed)} at least."
    if gap is not None:
        words = f"The gap at each wall is {both(gap)}; it must be {both(needed)} at least."
    result: Result = "not_checkable" if gap is None else _met(gap >= needed)
    yield _row("gap_at_walls", _LENGTH, words, result, gap, needed)


def _formula(case: Case) -> Iterator[MoistureCheckRow]:
    contents = [case.boards.wood.content, *(one.content for one in case.seasons)]
    good = holds(*contents) and all(one.is_tabulated for one in case.seasons)
    words = (
        "All moisture contents are from 6 to 14 %, where the linear coefficients hold."
        if good
        else "Not all moisture contents are from 6 to 14 %, or some air is outside the table: "
        "movement there is an estimate."
    )
    yield _row("formula_range", _FORMULA, words, _met(good))


def does(verb: str, ticks: int) -> str:
    """What a board does at most: `A board swells by up to 1/16 in`, or that it does not."""
    return f"A board {verb}s {by_how_much(ticks)}" if ticks else f"The boards do not {verb}"


def by_how_much(ticks: int) -> str:
    """How far wood moves at most, for a sentence; what no rule shows is told as that."""
    if ticks < THIRTY_SECOND:
        return f"by less than {both(THIRTY_SECOND)}"
    return f"by up to {both(ticks)}"


def rounded(amount: Fraction) -> int:
    """Exact ticks to the nearest."""
    return whole(amount)
