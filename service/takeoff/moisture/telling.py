"""What is told of the moisture of a job: a row and its checks for each layer, and findings."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from service.errors import Basis, Finding, Relaxed, Ticks
from service.products.layer import AnyLaid
from service.products.moving import LEVEL
from service.products.remarks import Remarks
from service.takeoff.job import Job
from service.takeoff.moisture.alone import summary
from service.takeoff.moisture.checking import Case, by_how_much, checks, rounded, verdict
from service.takeoff.moisture.job_rows import LayerCheckRow, LayerMoistureRow
from service.takeoff.moisture.room import opens_too_far, wanted_gap, wanted_spacer
from service.takeoff.moisture.rows import MoistureCheckRow
from service.units.ticks import ceiling
from service.units.writing import both


@dataclass(frozen=True, slots=True)
class ToldMoisture:
    """What is told of the moisture of all layers."""

    layers: tuple[LayerMoistureRow, ...] = ()
    checks: tuple[LayerCheckRow, ...] = ()
    basis: tuple[Basis, ...] = ()


def told(job: Job, laid: Sequence[AnyLaid], said: Remarks) -> ToldMoisture:
    """What is told of the moisture of a job's layers as they are laid."""
    if job.moisture is None:
        return ToldMoisture()
    layers: list[LayerMoistureRow] = []
    rows: list[LayerCheckRow] = []
    basis: list[Basis] = []
    for layer in laid:
        case = job.moisture.case(layer)
        if case is None:
            continue
        found = checks(case)
        _find(job, layer, case, found, said)
        case.rules.note_coefficient(case.boards.coefficient, case.boards.coefficient_of)
        layers.append(_row(layer, case, found))
        rows += [_check_row(layer, one) for one in found]
        basis += case.rules.basis
    return ToldMoisture(tuple(layers), tuple(rows), tuple(basis))


def _row(layer: AnyLaid, case: Case, found: tuple[MoistureCheckRow, ...]) -> LayerMoistureRow:
    one, task = summary(case, found), layer.task
    return LayerMoistureRow(
        surface=task.surface.id,
        layer=task.layer_id,
        product=task.product.id,
        verdict=one.verdict,
        mc_boards=one.mc_boards,
        mc_framing=one.mc_framing,
        mc_low=one.mc_low,
        mc_high=one.mc_high,
        over=case.boards.over,
        swells=one.swells,
        shrinks=one.shrinks,
        swells_over_all=one.swells_over_all,
        shrinks_over_all=one.shrinks_over_all,
        spacer=case.boards.spacer,
        spacer_needed=one.spacer,
        gap=case.boards.gap or 0,
        gap_needed=one.gap,
        in_words=one.in_words,
    )


def _check_row(layer: AnyLaid, one: MoistureCheckRow) -> LayerCheckRow:
    return LayerCheckRow(
        surface=layer.task.surface.id,
        layer=layer.task.layer_id,
        check=one.check,
        found=one.found,
        limit=one.limit,
        measured_in=one.measured_in,
        result=one.result,
        holds_up=one.holds_up,
        rule=one.rule,
        words=one.words,
    )


def _find(
    job: Job, layer: AnyLaid, case: Case, rows: Sequence[MoistureCheckRow], said: Remarks
) -> None:
    at = layer.task.at
    for finding in (*_waiting(at, rows), *_joints(at, layer, case), *_gaps(at, layer, case)):
        said.find(finding)
    if any(one.check == "formula_range" and one.result == "not_met" for one in rows):
        said.find(Finding(
            "moves-beyond-range", at,
            "not all moisture contents are from 6 to 14 %, where the linear coefficient holds: how "
            "far the boards move is an estimate", "26.5",
        ))  # fmt: skip
    assert job.moisture is not None
    if at in job.moisture.unsettled:
        said.find(Finding(
            "room-unsettled", at,
            "laid with the room that moisture asks for, the boards ask for other room again: set "
            "`spacer` and `gap` yourself", "3.14",
        ))  # fmt: skip
    if opens_too_far(case):
        _relaxed(at, case, said)


def _relaxed(at: str, case: Case, said: Remarks) -> None:
    used = max(0, case.boards.tongue - case.boards.spacer - ceiling(case.room.shrinks))
    said.relaxed.append(
        Relaxed("3.14", "tongue_kept", Ticks(case.rules.tongue_kept), Ticks(used), (at,))
    )


def _waiting(at: str, rows: Sequence[MoistureCheckRow]) -> Iterator[Finding]:
    """That boards must not go up yet, or that it is not known, with what says so."""
    found = verdict(rows)
    result = "not_met" if found == "hold" else "not_checkable"
    why = [one for one in rows if one.holds_up and one.result == result]
    if not why:
        return
    code = "boards-wait" if found == "hold" else "moisture-not-known"
    begins = "do not install yet" if found == "hold" else "read again before they go up"
    words = " ".join(one.words for one in why)
    yield Finding(code, at, f"{begins}: {words}", why[0].rule)


def _joints(at: str, layer: AnyLaid, case: Case) -> Iterator[Finding]:
    moving, wanted = layer.moving, wanted_spacer(case)
    if moving is None or moving.loose:
        return
    swells = rounded(case.room.swells)
    if wanted > moving.spacer:
        yield Finding(
            "swells-beyond-joint", at,
            f"a board swells {by_how_much(swells)}, and its joint closes by "
            f"{both(moving.spacer + case.rules.slack)}: let the boards take up moisture before "
            f"they go up, or lay them with spacers of {both(wanted)}", "3.14", measure=wanted,
            limit=moving.spacer,
        )  # fmt: skip
    elif wanted and moving.spacer_is_free:
        yield Finding(
            "spacer-for-moisture", at,
            f"a board swells {by_how_much(swells)}, more than its joint closes: the courses are "
            f"laid out with spacers of {both(wanted)}", "3.14", measure=wanted, limit=0,
        )  # fmt: skip
    if ceiling(case.room.shrinks) > case.rules.slack:
        yield Finding(
            "joint-opens", at,
            f"a board shrinks {by_how_much(rounded(case.room.shrinks))}, and its joint opens by as "
            "much: finish the tongues before they go up, or a bare line shows", "3.14",
            measure=rounded(case.room.shrinks), limit=case.rules.slack,
        )  # fmt: skip


def _gaps(at: str, layer: AnyLaid, case: Case) -> Iterator[Finding]:
    moving, wanted = layer.moving, wanted_gap(case)
    if moving is None:
        return
    if wanted > moving.gap:
        yield Finding(
            "gap-below-movement", at,
            f"the boards move by as much that the gap at each wall must be {both(wanted)}: it is "
            f"{both(moving.gap)}", "3.14", measure=moving.gap, limit=wanted,
        )  # fmt: skip
    elif layer.task.rules.is_from("gap", LEVEL):
        yield Finding(
            "gap-for-moisture", at,
            f"the boards move by as much that {both(moving.gap)} is left at each wall, more than "
            "is usual: see that the moulding covers it", "3.14", measure=moving.gap,
        )  # fmt: skip
