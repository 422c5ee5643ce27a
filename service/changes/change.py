"""`change`: two jobs to the difference between them, and the work and the order that it asks for.

Pure and deterministic: two takeoffs, their pieces matched by where they lie, and one record of the
difference, from which tables, text and drawing are made.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from service.changes.covering import Loosened, Place, loosened
from service.changes.differing import framing_rows, piece_rows, totals
from service.changes.holding_again import nails_again, tape_again
from service.changes.opening import Opened
from service.changes.ordering import AtHand, Ripped, changed_order, own_at_hand
from service.changes.rows import (
    ChangedFramingRow,
    ChangedPieceRow,
    ChangeOrderRow,
    ChangeSummary,
    ChangeTotalRow,
    StepRow,
)
from service.changes.steps import steps
from service.changes.summing import summed_up
from service.takeoff.pipeline import Takeoff, with_more


@dataclass(frozen=True, slots=True)
class Change:
    """A change as one record: what was, the `work` that is left to do, and the difference."""

    before: Takeoff
    work: Takeoff
    summary: ChangeSummary
    totals: tuple[ChangeTotalRow, ...]
    pieces: tuple[ChangedPieceRow, ...]
    framing: tuple[ChangedFramingRow, ...]
    order: tuple[ChangeOrderRow, ...]
    steps: tuple[StepRow, ...]


def change(
    before: Takeoff,
    after: Takeoff,
    works: Sequence[Takeoff],
    opened: Opened,
    at_hand: Sequence[AtHand] = (),
    ripped: Sequence[Ripped] = (),
    *,
    came: bool = False,
) -> Change:
    """The change from one takeoff to another: of several ways of doing the work, the cheapest.

    `works` are takeoffs of what is left to do of the job `after` the change, with what is `at_hand`
    as the caller's own, with what is left over alone and without any: what is left over is used
    first, and never makes a change dearer (21.7). `came`
    says whether the first order is there, or it was told what of it is.
    """
    framing = framing_rows(before, after, works[0], opened)
    at_hand = (*at_hand, *own_at_hand(after))
    done = (_worked(before, after, work, opened) for work in works)
    found = (_changed(before, one, framing, at_hand, ripped, came=came) for one in done)
    return min(found, key=lambda one: _cost(one, at_hand))


def _cost(one: Change, at_hand: Sequence[AtHand]) -> tuple[int, int, int]:
    """What is to buy less what is given back: money, in cents; then what is bought.

    Then what is taken of what came: what is left over is used first (21.7).
    """
    money = sum(round(((row.price or 0) - (row.credit or 0)) * 100) for row in one.order)
    came = {row.item[:2] for row in at_hand if row.came}
    taken = sum(row.used for row in one.order if (row.product, row.length) in came)
    return money, sum(row.more for row in one.order), taken


@dataclass(frozen=True, slots=True)
class _Worked:
    """The work that is left, with the nails of what stays, and what becomes of each piece."""

    work: Takeoff
    pieces: tuple[ChangedPieceRow, ...]
    loose: Mapping[Place, Loosened]


def _worked(before: Takeoff, after: Takeoff, work: Takeoff, opened: Opened) -> _Worked:
    pieces = piece_rows(before, work, opened)
    loose = loosened(before, work, pieces)
    nails = tuple(nails_again(before, after, opened, loose))
    tape = tuple(tape_again(before, after, opened))
    return _Worked(with_more(work, nails, tape), pieces, loose)


def _changed(
    before: Takeoff,
    done: _Worked,
    framing: tuple[ChangedFramingRow, ...],
    at_hand: Sequence[AtHand],
    ripped: Sequence[Ripped],
    *,
    came: bool,
) -> Change:
    work, pieces = done.work, done.pieces
    order = changed_order(before, work, at_hand, came=came)
    by_layer = totals(pieces)
    return Change(
        before=before,
        work=work,
        summary=summed_up(pieces, order, work.job.unit),
        totals=by_layer,
        pieces=pieces,
        framing=framing,
        order=order,
        steps=steps(by_layer, pieces, framing, order, ripped, done.loose, work.job),
    )
