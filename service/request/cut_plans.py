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
from service.schemas.stock import OwnedStick, StickLength
from service.standards import loader
from service.takeoff.cut_plan import CutJob
from service.units.ticks import METRIC

_WORK_OF_A_LENGTH: Final = 10
"""A length that no other piece has takes the search as long as so many pieces of boarding."""


def cut_job_of(asked: object) -> CutJob:
    """The cut plan that a value of strict JSON asks for; raises ShapeRefused or LimitExceeded."""
    spec = shaped(CutPlanAsked, asked)
    lines = tuple(_line(one, f"p{k + 1}", spec.width or 0) for k, one in enumerate(spec.pieces))
    faults = [*_twice(lines), *_unmatched(spec, lines)]
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


def _unmatched(spec: CutPlanAsked, lines: Sequence[Line]) -> Iterator[Fault]:
    """What does not go with ends that the mill matched: other ends, cut sticks, trims."""
    if not any(any(line.matched) for line in lines):
        return
    for k, line in enumerate(lines):
        if not {"matched", "covered"}.issuperset(map(str, line.ends)):
            text = (
                "beside matched ends there are only `covered` ones: cut the others in a plan apart"
            )
            yield Fault("matched", text, f"/pieces/{k}/ends", rule="7.2")
        if all(line.matched) and line.length not in {row.length for row in spec.stock}:
            text = "matched at both ends it is a whole stick, and none in `stock` is so long"
            yield Fault("matched", text, f"/pieces/{k}/length", rule="7.2", measure=line.length)
    rows: list[tuple[str, StickLength | OwnedStick]] = [
        *((f"/stock/{k}", row) for k, row in enumerate(spec.stock)),
        *((f"/owned/{k}", row) for k, row in enumerate(spec.owned or ())),
    ]
    for pointer, row in rows:
        if "cut" in (row.ends or ()):
            text = "an end that was cut is matched no more: leave such sticks out of this plan"
            yield Fault("matched", text, f"{pointer}/ends", rule="7.2")
    for name in ("end_trim", "joint_trim", "wall_trim"):
        if spec.rules is not None and getattr(spec.rules, name):
            text = "what is trimmed is matched no more: leave it out, or the matched ends"
            yield Fault("matched", text, f"/rules/{name}", rule="7.2")


def _twice(lines: Sequence[Line]) -> Iterator[Fault]:
    """Names that an earlier line has."""
    seen: set[str] = set()
    for k, line in enumerate(lines):
        if line.id in seen:
            yield Fault("id-twice", f"two pieces have the id {line.id}", f"/pieces/{k}/id")
        seen.add(line.id)
