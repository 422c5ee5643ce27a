"""`moist`: boards in the air that they will live in, with no surface; pure and deterministic."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from service.errors import Basis
from service.moisture.air import fahrenheit
from service.moisture.meter import Readings
from service.moisture.movement import holds, movement_by_shrinkage
from service.moisture.storing import Stack, stacked
from service.takeoff.moisture.checking import Case, by_how_much, checks, rounded, verdict
from service.takeoff.moisture.rows import (
    AirRow,
    Metered,
    MoistureCheckRow,
    MoistureSummary,
    MovementRow,
    StackRow,
    Verdict,
    VisitRow,
)
from service.takeoff.moisture.rulings import MoistureRulings
from service.takeoff.moisture.wood import Season, Wood
from service.units.ticks import ceiling
from service.units.writing import both, counted, in_system, stock_length


@dataclass(frozen=True, slots=True)
class MoistureJob:
    """Everything that an answer about moisture rests on."""

    unit: str
    case: Case
    stack: Stack | None


@dataclass(frozen=True, slots=True)
class Moistened:
    """Whether boards may go up, what they will do, and how they wait."""

    job: MoistureJob
    summary: MoistureSummary
    air: tuple[AirRow, ...]
    visits: tuple[VisitRow, ...]
    movement: tuple[MovementRow, ...]
    checks: tuple[MoistureCheckRow, ...]
    stacks: tuple[StackRow, ...]
    basis: tuple[Basis, ...]


def moist(job: MoistureJob) -> Moistened:
    """What moisture does to the boards of a job."""
    case = job.case
    rows = checks(case)
    stacks = () if job.stack is None else (stack_row(job.stack, case.rules),)
    case.rules.note_coefficient(case.boards.coefficient, case.boards.coefficient_of)
    return Moistened(
        job=job,
        summary=summary(case, rows),
        air=tuple(air_row(one) for one in case.seasons),
        visits=tuple(visit_rows(case)),
        movement=tuple(movement_row(case, one) for one in case.seasons),
        checks=rows,
        stacks=stacks,
        basis=case.rules.basis,
    )


def air_row(season: Season) -> AirRow:
    """Air as it is answered."""
    air = season.air
    return AirRow(
        air=season.name,
        by=season.by,
        fahrenheit=None if air is None else _number(fahrenheit(air.temperature)),
        celsius=None if air is None else _number(air.temperature),
        humidity_pct=None if air is None else _number(100 * air.humidity),
        mc=_number(season.content),
        tabulated=season.is_tabulated,
    )


def visit_rows(case: Case) -> Iterator[VisitRow]:
    """Every visit with a meter, those to the boards first."""
    yield from _visits("boards", case.boards.wood)
    yield from _visits("framing", case.framing)


def _visits(of: Metered, wood: Wood | None) -> Iterator[VisitRow]:
    for k, one in enumerate(() if wood is None else wood.visits):
        yield _visit(of, k + 1, one)


def _visit(of: Metered, number: int, one: Readings) -> VisitRow:
    return VisitRow(
        of=of,
        visit=number,
        hours=one.hours,
        readings=len(one.values),
        least=_number(min(one.values)),
        most=_number(max(one.values)),
        read=_number(one.read),
        correction=_number(one.correction),
        mc=_number(one.content),
        reliable=one.is_reliable,
    )


def movement_row(case: Case, season: Season) -> MovementRow:
    """What the boards do from now to a season."""
    boards, now = case.boards, case.boards.wood.content
    shrinkage = boards.shrinkage
    other = None if shrinkage is None else rounded(
        movement_by_shrinkage(Fraction(boards.coverage), shrinkage, now, season.content)
    )  # fmt: skip
    return MovementRow(
        air=season.name,
        from_mc=_number(now),
        to_mc=_number(season.content),
        points=_number(season.content - now),
        each=rounded(boards.moved(boards.coverage, season.content)),
        over_all=rounded(boards.moved(boards.over, season.content)),
        in_range=holds(now, season.content),
        each_by_shrinkage=other,
    )


def summary(case: Case, rows: tuple[MoistureCheckRow, ...]) -> MoistureSummary:
    """Whether the boards may go up, and what they will do."""
    room, rules = case.room, case.rules
    found = verdict(rows)
    spacer = room.spacer(rules.slack, rules.spacer_step)
    gap = room.gap(rules.gap_share, rules.gap_step)
    boards = case.boards
    left = _leave(max(spacer, boards.spacer), max(gap, boards.gap or 0))
    words = f"{_SAID[found]} {_moves(case)} {left}"
    return MoistureSummary(
        verdict=found,
        mc_boards=_number(case.boards.wood.content),
        mc_framing=None if case.framing is None else _number(case.framing.content),
        mc_low=_number(case.low),
        mc_high=_number(case.high),
        swells=rounded(room.swells),
        shrinks=rounded(room.shrinks),
        swells_over_all=rounded(room.swells_over_all),
        shrinks_over_all=rounded(room.shrinks_over_all),
        spacer=spacer,
        gap=gap,
        in_words=lambda unit: in_system(words, unit),
    )


_SAID: dict[Verdict, str] = {
    "install": "Install: every reading is within its limit.",
    "hold": "Hold: the boards must not go up yet; what is not met stands below.",
    "read_again": "Read again: what is known is within its limits, but not all of it is known.",
}


def _moves(case: Case) -> str:
    room = case.room
    parts = [
        f"{'swells' if more else 'shrinks'} {by_how_much(ceiling(each))}"
        for more, each in ((True, room.swells), (False, room.shrinks))
        if each
    ]
    return f"A board {' and '.join(parts)}." if parts else "The boards stay as they are."


def _leave(spacer: int, gap: int) -> str:
    joints = f"spacers of {both(spacer)} in the joints" if spacer else "no spacers"
    return f"Lay them with {joints}, and leave {both(gap)} at each wall."


def stack_row(stack: Stack, rules: MoistureRulings) -> StackRow:
    """How boards of one length wait (26.4)."""
    made = stacked(stack, rules.practice)
    words = (
        f"{counted(made.rows, 'rows')} of "
        f"{made.across}, on {counted(made.bearers, 'level bearers')} that keep them "
        f"{both(rules.ground_clear)} off the ground, {counted(made.stickers, 'stickers')} between "
        "the rows, each line straight up. Cover the top with what breathes and leave the sides "
        "open; open the wrapping at the ends."
    )
    return StackRow(
        length=stack.length,
        width=made.width,
        height=made.height,
        boards=stack.count,
        rows=made.rows,
        across=made.across,
        bearers=made.bearers,
        stickers=made.stickers,
        stick_length=made.stick_length,
        cover=made.cover,
        in_words=lambda unit: (
            f"{counted(stack.count, 'boards')} of {stock_length(stack.length, unit)}: "
            f"{in_system(words, unit)}"
        ),
    )


def _number(value: Fraction) -> float:
    return round(float(value), 4)
