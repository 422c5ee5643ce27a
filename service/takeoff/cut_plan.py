"""`cut`: pieces cut from sticks, with no surface that they lie on; pure and deterministic (8)."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from service.errors import Basis, Finding, LawBroken
from service.ledger.book import Ledger
from service.products.remarks import Remarks
from service.products.sticks.alone import CutTask, Line
from service.products.sticks.plain import cut_whole, supply
from service.products.supplied import SearchSettings, Supplied

PLACE = "pieces"
"""Where pieces are booked that lie on no surface."""


@dataclass(frozen=True, slots=True)
class CutJob:
    """Everything that a cut plan rests on; the same job gives the same plan.

    `turned`: pieces may be turned end for end. `face` is how wide the stock is, where ends slant.
    """

    unit: str
    currency: str | None
    settings: SearchSettings
    task: CutTask
    lines: tuple[Line, ...]
    turned: bool
    face: int = 0


@dataclass(frozen=True, slots=True)
class CutPlan:
    """Sticks with their pieces, order, plan and ledger, and what is to be said of them."""

    job: CutJob
    supplied: Supplied
    findings: tuple[Finding, ...]
    basis: tuple[Basis, ...]


def cut(job: CutJob) -> CutPlan:
    """The cut plan of a job.

    Raises TradeRefused where a piece is too long or stock runs short, or LawBroken.
    """
    task, said = job.task, Remarks()
    matched = any(any(line.matched) for line in job.lines)
    trims = task.rules.trims(turned=job.turned, matched=matched)
    wanted = [(line.need(trims), name) for line in job.lines for name in line.pieces]
    plan = cut_whole(task, wanted, trims, job.settings, job.face)
    made = Supplied(task.product.id, task.product.form, PLACE, ())
    ledger = Ledger(made.product, "length")
    ledger.of(PLACE).enter("installed", sum(need.length for need, _ in wanted))
    supply(plan, made, ledger, said)
    _check(made, Counter(name for _, name in wanted))
    return CutPlan(job, made, tuple(said.findings), task.rules.basis)


def _check(made: Supplied, wanted: Counter[str]) -> None:
    """Every piece is cut once; raises LawBroken if not."""
    cut = Counter(name for stick in made.sticks for name in stick.pieces)
    if cut != wanted:
        raise LawBroken(f"{(cut - wanted).total()} pieces too many, {(wanted - cut).total()} short")
