"""One variation of a job: what is changed, what would be sent, and what became of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final, TypeAlias

import orjson

from service.errors import Cure, Fault, JsonValue, LawBroken, Refusal, TradeRefused
from service.report.patches import cured, operations
from service.report.scale import Scale
from service.report.tables.summary import summary
from service.request.cost import cost
from service.request.reading import job_of
from service.request.strict_json import loads
from service.takeoff.comparison import Figures, figures_of
from service.takeoff.job import Job
from service.takeoff.pipeline import Takeoff, take_off

Row: TypeAlias = dict[str, Any]

QUICK: Final = 3
"""How many quick searches take as long as a usual one."""

EACH: Final = 100
"""What a search takes beside the pieces, in pieces: small rooms are searched nearly as long."""


@dataclass(frozen=True, slots=True)
class Entry:
    """A variation that is to be solved: the job, or why there is none.

    `patch` makes it of the job as sent, where the service made it.
    """

    name: str
    asked: Any  # JSON as it would be sent
    job: Job | Refusal
    patch: tuple[Row, ...] = ()

    @property
    def cost(self) -> int:
        """The work of it in pieces of plain boarding; quick work is a third of the usual."""
        if isinstance(self.job, Refusal):
            return 0
        return (cost(self.job) + EACH) // (QUICK if self.job.settings.effort == "quick" else 1)

    def solved(self) -> Made:
        """What became of it; raises LawBroken."""
        if isinstance(self.job, Refusal):
            return Made(self, self.job, None)
        try:
            takeoff = take_off(self.job)
        except Refusal as refusal:
            return Made(self, refusal, None)
        return Made(self, takeoff, figures_of(takeoff, summary(takeoff).waste_pct))

    def tried(self) -> Made:
        """The same of a variation that the service made.

        Whatever goes wrong with it, what was found without it is still true, and told.
        """
        try:
            return self.solved()
        except Exception:
            return Made(self, TradeRefused(Fault("not-tried", "it could not be tried")), None)


@dataclass(frozen=True, slots=True)
class Made:
    """A variation that was solved: its takeoff with its figures, or why it was refused."""

    entry: Entry
    outcome: Takeoff | Refusal
    figures: Figures | None

    @property
    def takeoff(self) -> Takeoff:
        """The takeoff of one that was answered."""
        if isinstance(self.outcome, Refusal):
            raise LawBroken(f"{self.entry.name} was refused")
        return self.outcome

    @property
    def refused(self) -> str | None:
        """Why it was refused, in one sentence; None where it was answered."""
        return self.outcome.faults[0].detail if isinstance(self.outcome, Refusal) else None


def entry(name: str, asked: Any, patch: Sequence[Row] = ()) -> Entry:
    """A variation as it would be sent, read."""
    try:
        return Entry(name, asked, job_of(asked), tuple(patch))
    except Refusal as refusal:
        return Entry(name, asked, refusal, tuple(patch))


@dataclass(frozen=True, slots=True)
class Edit:
    """Put `value` at `pointer`; the service's own changes of a job."""

    pointer: str
    value: JsonValue


def edited(name: str, asked: Any, edits: Sequence[Edit], scale: Scale) -> Entry:
    """A job with edits made."""
    first, *others = (Cure(one.pointer, one.value) for one in edits)
    cure = Cure(first.pointer, first.value, tuple(others))

    def write(value: JsonValue) -> Any:
        return loads(orjson.dumps(scale.exactly(value)))

    return entry(name, cured(asked, cure, write), operations(asked, cure, scale.exactly))


def money(value: Fraction | None) -> float | None:
    """Money as it is answered."""
    return None if value is None else float(round(value, 4))
