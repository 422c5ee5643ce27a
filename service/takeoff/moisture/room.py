"""Boards laid with the room that moisture asks for, till it asks for no more (3.14)."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Final, TypeVar

from service.errors import Fault, TradeRefused
from service.products.layer import AnyLaid
from service.products.moving import LEVEL, Moving, Room
from service.takeoff.job import Job, LayerJob
from service.takeoff.laying import lay_all
from service.takeoff.moisture.checking import Case
from service.units.ticks import ceiling
from service.units.writing import both

PASSES: Final = 3
"""How often boards are laid at most."""

Rooms = Mapping[str, Room]
"""What moisture asks of layers, by their places; of others nothing."""

Found = TypeVar("Found")


def with_room(job: Job) -> Job:
    """The job with the spacers and gaps that moisture asks of its layers, where none was sent.

    Raises TradeRefused where layers cannot be laid, or tongues would leave their grooves.
    """
    if job.moisture is None or any(one.is_up or one.task.standing for one in job.layers):
        return job
    rooms, unsettled = settled(lambda rooms: _asked(job, rooms))
    made = _having(job, rooms)
    return replace(made, moisture=replace(job.moisture, unsettled=unsettled))


def settled(asked: Callable[[Rooms], Rooms]) -> tuple[Rooms, frozenset[str]]:
    """What is asked for once that is there, after PASSES at most; and who then asks for other."""
    rooms: Rooms = {}
    for _ in range(PASSES):
        before, rooms = rooms, asked(rooms)
        if rooms == before:
            return rooms, frozenset()
    return before, frozenset(at for at in rooms if rooms[at] != before.get(at))


def _having(job: Job, rooms: Rooms) -> Job:
    return replace(job, layers=tuple(_layer(one, rooms.get(one.task.at)) for one in job.layers))


def _layer(one: LayerJob, room: Room | None) -> LayerJob:
    if room is None:
        return one
    return replace(one, task=replace(one.task, rules=one.task.rules.knowing(LEVEL, room)))


def _asked(job: Job, rooms: Rooms) -> Rooms:
    """What the boards ask for as they are laid with some room."""
    laid = [one.layer for one in lay_all(_having(job, rooms))]
    cases = _cases(job, laid)
    if not job.settings.relax:
        _check_tongues(job, cases)
    found = {layer.task.at: _room(case, layer.moving, rooms.get(layer.task.at))
             for layer, case in cases if layer.moving is not None}  # fmt: skip
    return {at: room for at, room in found.items() if room != Room()}


def _cases(job: Job, laid: Sequence[AnyLaid]) -> list[tuple[AnyLaid, Case]]:
    assert job.moisture is not None
    found = [(layer, job.moisture.case(layer)) for layer in laid]
    return [(layer, case) for layer, case in found if case is not None]


def _room(case: Case, moving: Moving, had: Room | None) -> Room:
    """A spacer where the slack of a joint is too small, and a gap where the usual one is.

    A gap never becomes narrower again, so that two passes cannot ask for each other's.
    """
    gap = had.gap if had is not None else None
    wanted = wanted_gap(case)
    if moving.gap_is_free and wanted > moving.gap:
        gap = wanted
    return Room(spacer=_spacer(case, moving), gap=gap)


def _spacer(case: Case, moving: Moving) -> int | None:
    wanted = wanted_spacer(case)
    fits = not moving.tongue or wanted <= moving.tongue - case.rules.tongue_kept
    return wanted if wanted and moving.spacer_is_free and not moving.loose and fits else None


def wanted_spacer(case: Case) -> int:
    """The open joint that lets the boards swell (ticks)."""
    return case.room.spacer(case.rules.slack, case.rules.spacer_step)


def wanted_gap(case: Case) -> int:
    """The gap at each wall that takes its share of what all boards do (ticks)."""
    return case.room.gap(case.rules.gap_share, case.rules.gap_step)


def _check_tongues(job: Job, cases: Sequence[tuple[AnyLaid, Case]]) -> None:
    """Refuse boards whose joints open until their tongues leave the grooves."""
    assert job.moisture is not None
    faults = [
        _bare(case, job.moisture.boards[layer.task.product.id].pointer, layer.task.at)
        for layer, case in cases
        if opens_too_far(case)
    ]
    if faults:
        raise TradeRefused(*faults)


def opens_too_far(case: Case) -> bool:
    """Whether tongues leave their grooves when the boards are driest."""
    boards = case.boards
    kept = case.rules.tongue_kept
    return bool(boards.tongue) and case.room.opens_too_far(boards.tongue - boards.spacer, kept)


def _bare(case: Case, pointer: str, at: str) -> Fault:
    boards, opened = case.boards, ceiling(case.room.shrinks)
    return Fault(
        "tongue-leaves-groove",
        f"boards of {at} shrink until their joints stand {both(opened + boards.spacer)} open, and "
        f"less than {both(case.rules.tongue_kept)} of a tongue of {both(boards.tongue)} is left in "
        "its groove: let them dry before they go up, or take narrower boards or a deeper tongue",
        pointer,
        rule="3.14",
        measure=opened,
        limit=max(0, boards.tongue - boards.spacer - case.rules.tongue_kept),
    )
