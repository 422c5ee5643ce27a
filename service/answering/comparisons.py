"""A job beside variations of it, and what else was asked of it."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

import orjson

from service.answering.operation import CSV, JSON, PDF, XLSX, Operation, Picked, Rendered
from service.answering.refusals import told_of, written
from service.answering.takeoffs import gap_of, rendered
from service.errors import Refusal
from service.report.printout.columns import USUAL
from service.report.printout.comparison import comparison_parts, comparison_printout
from service.report.shop_sheets.made import on_sheets
from service.report.tables.comparison import (
    COMPARISON_BY_NAME,
    COMPARISON_TABLES,
    Answered,
    RefusedRow,
    VariationRow,
    comparison_csv,
    comparison_shape,
    flat_comparison,
)
from service.report.tables.summary import summary
from service.report.workbook.made import workbook
from service.request.comparisons import (
    AS_SENT,
    Comparison,
    comparison_model,
    comparison_of,
    job_unit_of,
)
from service.request.limits import within
from service.request.reading import job_of
from service.solver.remembered import side_by_side
from service.takeoff.comparison import Compared, Ranked, ranked, rungs
from service.takeoff.job import Job
from service.variations.at_hand import AtHand, delivered, on_hand
from service.variations.entry import Entry, Made, entry, money
from service.variations.remeasure import MEASURED, Off, off
from service.variations.told import change_rows, measure_again, measure_rows, waste_rows
from service.variations.told_at_hand import at_hand_rows, rip_rows
from service.variations.waste import Change, changes


@dataclass(frozen=True, slots=True)
class Asked:
    """All that is to be solved: the job first of the variations, then what its questions make."""

    unit: str
    currency: str | None
    variations: tuple[Entry, ...]
    hands: tuple[AtHand, ...]
    changes: tuple[Change, ...] | None
    measures: tuple[Off, ...] | None

    @property
    def costs(self) -> Mapping[str, int]:
        """The work of each part in pieces of plain boarding, by what the caller calls it."""
        found = {"the job and its variations": sum(one.cost for one in self.variations)}
        for hand in self.hands:
            found[hand.question] = sum(one.cost for one in hand.entries)
        for change in self.changes or ():
            found["waste"] = found.get("waste", 0) + change.entry.cost
        for off_by in self.measures or ():
            name = off_by.question
            found[name] = found.get(name, 0) + off_by.entry.cost
        return found

    @property
    def cost(self) -> int:
        """The work of all of it."""
        return sum(self.costs.values())


def _read(asked: object) -> Asked:
    comparison = comparison_of(asked)
    with told_of(comparison.job, at="/job"):
        job = job_of(comparison.job)
    made = _asked(comparison, job)
    parts = ", ".join(f"{count} of {name}" for name, count in made.costs.items())
    within("compared pieces", made.cost, "", f": {parts}")
    return made


def _asked(comparison: Comparison, job: Job) -> Asked:
    sent, ask = comparison.job, comparison.ask
    hands = [on_hand(job, sent)] if "on_hand" in ask else []
    hands += [delivered(job, sent, comparison.delivered)] if comparison.delivered else []
    return Asked(
        unit=job.unit,
        currency=job.currency,
        variations=(
            entry(AS_SENT, sent),
            *(entry(name, asked) for name, asked in comparison.variations),
        ),
        hands=tuple(hands),
        changes=tuple(changes(job, sent)) if "waste" in ask else None,
        measures=tuple(off(job, sent, ask)) if not MEASURED.keys().isdisjoint(ask) else None,
    )


def _answer(asked: Asked, picked: Picked) -> Rendered:
    """Solved side by side: what variations have in common is planned once."""
    with side_by_side():
        return _compared(asked, picked)


def _compared(asked: Asked, picked: Picked) -> Rendered:
    solved = [one.solved() for one in asked.variations]
    compared = [Compared(one.entry.name, one.figures) for one in solved if one.figures is not None]
    names = rungs(compared)
    by_name = {one.entry.name: one for one in solved}
    rows = [_variation(by_name[one.one.name], one) for one in ranked(compared, asked.unit)]
    refused = [row for one in solved if one.figures is None for row in _refused(one, asked.unit)]
    made = _with_questions(asked, solved[0], names, rows, refused)
    gaps = [gap for one in solved if one.figures is not None
            if (gap := gap_of(one.takeoff)) is not None]  # fmt: skip
    return Rendered(_rendered(made, picked), max(gaps, default=None))


def _variation(made: Made, place: Ranked) -> VariationRow:
    """A variation in its place, with the digest of what it would be answered alone."""
    figures, takeoff = place.one.figures, made.takeoff
    told = summary(takeoff)
    alone = rendered(takeoff, Picked())
    return VariationRow(
        variation=made.entry.name,
        rank=place.rank,
        cost=money(figures.cost),
        length=figures.length,
        sticks=figures.sticks,
        joints=figures.joints,
        waste_pct=figures.waste,
        optimal=told.optimal,
        relaxed=len(takeoff.relaxed),
        findings=len(takeoff.findings),
        why=place.why,
        in_words=told.in_words,
        digest=f"sha256:{hashlib.sha256(alone).hexdigest()}",
    )


def _refused(made: Made, unit: str) -> Iterator[RefusedRow]:
    """Why a variation is refused, as it would be told alone: cures are tried."""
    assert isinstance(made.outcome, Refusal)
    try:
        with told_of(made.entry.asked):
            raise made.outcome
    except Refusal as refusal:
        for one in orjson.loads(written(refusal, unit, made.entry.asked))["faults"]:
            code, detail, pointer = (one[key] for key in ("code", "detail", "pointer"))
            rule, cure = one.get("rule"), one.get("cure")
            yield RefusedRow(
                variation=made.entry.name,
                code=code,
                detail=detail,
                pointer=pointer,
                rule=rule,
                cure=cure,
            )


def _with_questions(
    asked: Asked,
    base: Made,
    names: Sequence[str],
    rows: Sequence[VariationRow],
    refused: Sequence[RefusedRow],
) -> Answered:
    """All rows: those of the variations, and those of each question."""
    hands = [_at_hand(hand, base, asked.unit) for hand in asked.hands]
    wasted = _wasted(asked.changes, base, names, asked.unit)
    measured = _measured(asked.measures, base, asked.unit)
    parts = [_Part(_ranking(rows, refused)), *hands, wasted, measured]
    return Answered(
        unit=asked.unit,
        currency=asked.currency,
        ranked_by=names,
        in_words=[text for part in parts for text in part.said],
        variations=tuple(rows),
        refused=tuple(refused),
        **{
            name: tuple(row for part in parts for row in part.tables.get(name, ()))
            for name in QUESTIONED
        },
    )


@dataclass(frozen=True, slots=True)
class _Part:
    """What is answered to one question: its sentences, and rows of tables by name."""

    said: Iterable[str] = ()
    tables: Mapping[str, Sequence[Any]] = field(default_factory=dict)


QUESTIONED: Final = ("at_hand", "to_buy", "used", "rips", "waste", "changes", "measures")
"""Tables that questions fill."""


def _at_hand(hand: AtHand, base: Made, unit: str) -> _Part:
    made = [one.tried() for one in hand.entries]
    row, buy, used = at_hand_rows(hand, made, unit)
    rips = list(rip_rows(hand.question, base, made[0]))
    tables: Mapping[str, Sequence[Any]] = {
        "at_hand": [row],
        "to_buy": buy,
        "used": used,
        "rips": rips,
    }
    return _Part([f"{hand.question}: {row.in_words}"], tables)


def _wasted(tried: Sequence[Change] | None, base: Made, names: Sequence[str], unit: str) -> _Part:
    if tried is None:
        return _Part()
    if base.figures is None:
        return _Part([f"{AS_SENT} is refused, so nothing is said of its waste."])
    waste = waste_rows(base.takeoff)
    rows = change_rows(base, [(one, one.entry.tried()) for one in tried], names, unit)
    return _Part(_most_waste(waste, rows), {"waste": waste, "changes": rows})


def _measured(off_by: Sequence[Off] | None, base: Made, unit: str) -> _Part:
    if off_by is None:
        return _Part()
    if base.figures is None:
        return _Part([f"{AS_SENT} is refused, so nothing is said of its measures."])
    rows = measure_rows(base, [(one, one.entry.tried()) for one in off_by], unit)
    return _Part([measure_again(base, rows)], {"measures": rows})


def _ranking(rows: Sequence[VariationRow], refused: Sequence[RefusedRow]) -> Iterator[str]:
    if len(rows) > 1:
        best = [row.variation for row in rows if row.rank == 1]
        yield f"Best: {_named(best)}. {rows[0].why}"
    names = list(dict.fromkeys(row.variation for row in refused))
    if names:
        yield f"Refused: {_named(names)}."


MOST_NAMED: Final = 6
"""Variations that a sentence names; of more it says how many."""


def _named(names: Sequence[str]) -> str:
    more = len(names) - MOST_NAMED
    return ", ".join(names[:MOST_NAMED]) + (f" and {more} more" if more > 0 else "")


def _most_waste(waste: Sequence[Any], tried: Sequence[Any]) -> Iterator[str]:
    """Where most goes that is not installed, and which change saves most."""
    if waste:
        most = waste[0]
        yield (
            f"Most of what is wasted is {most.account.replace('_', ' ')} of {most.product}, "
            f"{most.share_pct:.1f} % of what is bought of it."
        )
    better = [row for row in tried if row.better]
    yield f"Saves most: {better[0].in_words}" if better else "No change that was tried saves any."


def _rendered(made: Answered, picked: Picked) -> bytes:
    if picked.media == CSV:
        return comparison_csv(made, picked.table)
    answer = flat_comparison(made)
    if picked.media == JSON:
        return orjson.dumps(picked.kept(answer, COMPARISON_BY_NAME))
    plain = orjson.loads(orjson.dumps(answer))
    if picked.media == XLSX:
        return workbook(plain, COMPARISON_TABLES, "variations", picked.paper)
    if picked.media == PDF:
        return on_sheets(plain, "Comparison", [comparison_parts(plain)], paper=picked.paper)
    return comparison_printout(plain, picked.columns or USUAL).encode()


COMPARISONS = Operation(
    name="comparisons",
    id="compare",
    read=_read,
    cost=lambda asked: asked.cost,
    answer=_answer,
    unit=job_unit_of,
    request=comparison_model,
    reply=comparison_shape,
    examples="comparisons",
)
