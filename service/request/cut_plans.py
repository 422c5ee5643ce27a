"""From what is asked of a cut plan to the job: shape, names and size."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from service.errors import Fault, ShapeRefused
from service.products.goods.board import FORM as BOARD
from service.products.sticks.alone import CutRulings, CutTask, Line, cuts_of
from service.products.supplied import SearchSettings
from service.request.limits import within
from service.request.shaped import shaped
from service.schemas.cut_plan import CutEnd, CutPiece, CutPlanAsked, stock_of
from service.standards import loader
from service.takeoff.cut_plan import CutJob
from service.units.ticks import METRIC

_WORK_OF_A_LENGTH: Final = 10
"""A length that no other piece has takes the search as long as so many pieces of boarding."""


def cut_job_of(asked: object) -> CutJob:
    """The cut plan that a value of strict JSON asks for; raises ShapeRefused or LimitExceeded."""
    spec = shaped(CutPlanAsked, asked)
    lines = tuple(_line(one, f"p{k + 1}", spec.width or 0) for k, one in enumerate(spec.pieces))
    faults = list(_twice(lines))
    if faults:
        raise ShapeRefused(*faults)
    within("pieces of a cut plan", sum(line.count for line in lines), "/pieces")
    rules = CutRulings(
        "pieces", spec, (("job", spec.rules),), loader.read(BOARD.defaults_path),
        metric=spec.unit in METRIC,
    )  # fmt: skip
    return CutJob(
        unit=spec.unit,
        currency=spec.currency,
        settings=SearchSettings(spec.objective, spec.effort or "standard", relax=False),
        task=CutTask(stock_of(spec), rules, spec.unit),
        lines=lines,
        turned=spec.profile in (None, "square_edge"),
        face=spec.width or 0,
    )


def cost(job: CutJob) -> int:
    """The work of a cut plan in pieces of plain boarding."""
    lengths = {(line.length, line.cuts, "covered" in line.ends) for line in job.lines}
    return sum(line.count for line in job.lines) + _WORK_OF_A_LENGTH * len(lengths)


def _line(one: CutPiece, name: str, face: int) -> Line:
    sent: Sequence[CutEnd] = one.ends or ("square", "square")
    ends = sent[0], sent[1]
    return Line(one.id or name, one.length, one.count or 1, ends, cuts_of(ends, face))


def _twice(lines: Sequence[Line]) -> Iterator[Fault]:
    """Names that an earlier line has."""
    seen: set[str] = set()
    for k, line in enumerate(lines):
        if line.id in seen:
            yield Fault("id-twice", f"two pieces have the id {line.id}", f"/pieces/{k}/id")
        seen.add(line.id)
