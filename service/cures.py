"""Cures that are tried before they are offered: the request so mended is taken off again.

What a cure brings about further on, where nobody looked when it was thought of, is seen only by
trying it. A trial takes off the surface in question, by the quickest search. All trials of one
request together may cost no more than a light job; a cure beyond that is told in words, and one
that does not cure is not told at all.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Any, Final

import orjson

from service.errors import Cure, Fault, Finding, JsonValue, LawBroken, Refusal, TradeRefused
from service.report.patches import cured, in_words, operations
from service.report.scale import Scale, scale_of
from service.request.cost import cost
from service.request.limits import MOST_LIGHT
from service.request.reading import job_of
from service.request.shaped import unit_of
from service.request.strict_json import loads
from service.takeoff.job import Job
from service.takeoff.pipeline import Takeoff, take_off
from service.takeoff.supplying import check_stock_rules
from service.takeoff.trying import Picking, picking

MOST_STEPS: Final = 4
"""Edits that one cure may be made of: each mends what the one before it has brought to light."""


class _TooDear(Exception):
    """What is left for trials is not enough for this one."""


@dataclass(slots=True)
class _Trials:
    """The trials of one request: what was asked, and the pieces that trials may still take off."""

    asked: Any
    scale: Scale
    left: int = MOST_LIGHT

    def takeoff(
        self, cure: Cure, concerned: Callable[[Job], Job], *, quick: bool = True,
        moved: Callable[[Job], Picking | None] | None = None,
    ) -> Takeoff:  # fmt: skip
        """What comes of the request with `cure` made. Raises as `take_off` does, or _TooDear.

        Where `moved` can tell which layers the cure moves, and those are taken off, the others
        are not taken off again.
        """
        whole = job_of(cured(self.asked, cure, self.write))
        job = concerned(whole)
        if quick:
            job = replace(job, settings=replace(job.settings, effort="quick", trial=True))
        self.left -= cost(job)
        if self.left < 0:
            raise _TooDear
        try:
            made = _of_moved(job, moved) or take_off(job)
            check_stock_rules(whole)
        except Refusal:
            raise
        except Exception as fault:
            # Whatever goes wrong in a trial, what was found without it is still true, and told.
            raise LawBroken(str(fault)) from fault
        return made

    def write(self, value: JsonValue) -> Any:
        """A value as a caller would send it and strict JSON is read."""
        return loads(orjson.dumps(self.scale.exactly(value)))

    def words(self, cure: Cure) -> str:
        """A cure that was not tried, as the end of a sentence."""
        return f"; not tried: {in_words(operations(self.asked, cure, self.scale.exactly))}"


def _of_moved(job: Job, moved: Callable[[Job], Picking | None] | None) -> Takeoff | None:
    """The takeoff of the layers that a cure moves; None where all must be taken off to tell."""
    further = moved(job) if moved else None
    if further is None:
        return None
    try:
        return take_off(job, further=further)
    except (Refusal, LawBroken):
        return None


def with_tried_cures(refusal: TradeRefused, asked: object) -> TradeRefused:
    """The refusal with those cures that let the request through, or leave only its other faults."""
    trials = _Trials(asked, scale_of(unit_of(asked)))
    told = {(fault.code, fault.pointer) for fault in refusal.faults}
    return TradeRefused(
        *(_fault(trials, fault, told) for fault in refusal.faults), count=refusal.count
    )


def _fault(trials: _Trials, fault: Fault, told: set[tuple[str, str]]) -> Fault:
    if fault.cure is None:
        return fault
    try:
        return replace(fault, cure=_lets_through(trials, fault, fault.cure, told))
    except _TooDear:
        return replace(fault, cure=None, detail=fault.detail + trials.words(fault.cure))
    except LawBroken:
        return replace(fault, cure=None)


def _lets_through(
    trials: _Trials, fault: Fault, cure: Cure, told: set[tuple[str, str]]
) -> Cure | None:
    """The cure, with the cures of what it brings to light; None where they lead nowhere."""
    others = told - {(fault.code, fault.pointer)}
    for _ in range(MOST_STEPS):
        again = _refused(trials, cure, fault)
        new = [one for one in again if (one.code, one.pointer) not in others]
        if not new:
            return cure
        for one in new:
            if one.cure is None:
                return None
            cure = _joined(cure, one.cure)
    return None


def _refused(trials: _Trials, cure: Cure, fault: Fault) -> Sequence[Fault]:
    """The faults that are left once the `cure` of a fault is made; none where it is answered."""

    def concerned(job: Job) -> Job:
        return _of_surface(job, _surface_at(job, fault))

    try:
        # Whether stock reaches can depend on the search: there it is the one that was asked for.
        trials.takeoff(cure, concerned, quick=fault.code != "stock-short")
    except Refusal as refusal:
        return refusal.faults
    return ()


def _joined(first: Cure, then: Cure) -> Cure:
    """Both cures as one; where they put a value in the same place, it is the later one's."""
    edits = {one.pointer: one.value for cure in (first, then) for one in (cure, *cure.also)}
    one, *others = (Cure(pointer, value) for pointer, value in edits.items())
    return replace(one, also=tuple(others))


def with_tried_findings(takeoff: Takeoff) -> Takeoff:
    """The takeoff with those cures that take their finding away and give up no further rule."""
    trials = _Trials(takeoff.job.asked, scale_of(takeoff.job.unit))
    findings = tuple(_finding(trials, one, takeoff) for one in takeoff.findings)
    return replace(takeoff, findings=findings)


def _finding(trials: _Trials, finding: Finding, takeoff: Takeoff) -> Finding:
    cure = finding.cure
    if cure is None or cure.sure:
        return finding
    try:
        return replace(finding, cure=_takes_away(trials, finding, cure, takeoff))
    except _TooDear:
        return replace(finding, cure=None, text=finding.text + trials.words(cure))
    except (Refusal, LawBroken):
        return replace(finding, cure=None)


def _takes_away(trials: _Trials, finding: Finding, cure: Cure, takeoff: Takeoff) -> Cure | None:
    """The cure, with the cures of what is left of the finding; None where something stays."""
    name = (finding.code, finding.at)
    before = {one.task.at: one for one in takeoff.laid} if name in takeoff.said_of_laid else {}
    for _ in range(MOST_STEPS):
        mended = trials.takeoff(
            cure,
            lambda job: _of_surface(job, _surface_of(job, finding.at)),
            moved=partial(picking, at=finding.at, cure=cure, before=before) if before else None,
        )
        names = {surface.id for surface in mended.job.surfaces}
        if not _given_up(mended, names) <= _given_up(takeoff, names):
            return None
        same = [one for one in mended.findings if (one.code, one.at) == name]
        if not same:
            return cure
        if same[0].cure is None:
            return None
        cure = _joined(cure, same[0].cure)
    return None


def _given_up(takeoff: Takeoff, names: set[str]) -> Counter[str]:
    """The rules that were not kept on some surfaces, with how often."""
    return Counter(
        one.key for one in takeoff.relaxed for at in one.places if at.split(".")[0] in names
    )


def _surface_at(job: Job, fault: Fault) -> str | None:
    """The surface that a fault points into, None where it points elsewhere."""
    return next(
        (one.id for one in job.surfaces if f"{fault.pointer}/".startswith(f"{one.pointer}/")),
        None,
    )


def _surface_of(job: Job, at: str) -> str | None:
    """The surface of a finding's place, None where it is a product's."""
    name = at.split(".", maxsplit=1)[0]
    return name if any(one.id == name for one in job.surfaces) else None


def _is_limited(job: Job) -> bool:
    """Whether of some stock no more can be had than is told."""
    return any(
        getattr(one, "on_hand", None) is not None
        for product, _ in job.products.values()
        for one in getattr(product, "stock", None) or ()
    )


def _of_surface(job: Job, name: str | None) -> Job:
    """The job of one surface alone, or the whole where that is not told or stock is limited."""
    if name is None or _is_limited(job):
        return job
    (pointer,) = (one.pointer for one in job.surfaces if one.id == name)
    return replace(
        job,
        faults=tuple(one for one in job.faults if f"{one.pointer}/".startswith(f"{pointer}/")),
        surfaces=tuple(one for one in job.surfaces if one.id == name),
        layers=tuple(one for one in job.layers if one.task.surface.id == name),
        findings=tuple(one for one in job.findings if one.at.split(".")[0] == name),
    )
