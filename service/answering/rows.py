"""A sheet of rooms, each row taken off by itself: a bad row is told in its own cell."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import orjson

from service.answering.operation import Operation, Picked, Rendered
from service.answering.refusals import told_of, written
from service.answering.takeoffs import gap_of
from service.errors import Refusal
from service.report.tables.flat import plain, version
from service.request.cost import cost
from service.request.reading import job_of
from service.request.shaped import shaped
from service.rows.jobs import UNITS, filled, job_of_row, sentence
from service.rows.results import empty, refused, row_of
from service.schemas.rooms import RoomAsked, RoomsAsked, RoomsTakenOff
from service.takeoff.job import Job
from service.takeoff.pipeline import take_off


@dataclass(frozen=True, slots=True)
class Room:
    """One row: its cells, and its job or the refusal of it; neither where no cell is filled."""

    cells: Mapping[str, Any]
    job: Job | None = None
    refusal: Refusal | None = None
    unit: str = "in"


def _read(asked: object) -> tuple[Room, ...]:
    return tuple(_room(one) for one in shaped(RoomsAsked, asked).rows)


def _room(one: RoomAsked) -> Room:
    cells = one.model_dump()
    row = filled(cells)
    if not row:
        return Room(cells)
    unit = str(row.get("unit", "in"))
    try:
        asked = job_of_row(row)
        with told_of(asked):
            return Room(cells, job_of(asked), unit=unit)
    except Refusal as refusal:
        return Room(cells, refusal=refusal, unit=unit)


def _cost(rooms: tuple[Room, ...]) -> int:
    return sum(cost(room.job) for room in rooms if room.job is not None)


def _answer(rooms: tuple[Room, ...], picked: Picked) -> Rendered:
    rows, gaps = [], []
    for room in rooms:
        row, gap = _row(room)
        rows.append(row)
        gaps.append(gap)
    known = [gap for gap in gaps if gap is not None]
    answer = orjson.dumps({"version": version(), "rows": plain(rows)})
    return Rendered(answer, max(known, default=None))


def _row(room: Room) -> tuple[dict[str, Any], float | None]:
    """The row that is answered, and how far from the best its plan may be."""
    if room.refusal is not None:
        return refused(room.cells, _told(room.refusal, room.unit)), None
    if room.job is None:
        return empty(room.cells), None
    try:
        with told_of(room.job.asked):
            takeoff = take_off(room.job)
    except Refusal as refusal:
        return refused(room.cells, _told(refusal, room.unit)), None
    return row_of(room.cells, takeoff), gap_of(takeoff)


def _told(refusal: Refusal, unit: str) -> str:
    """Why a room is refused, in its own unit of length."""
    faults = orjson.loads(written(refusal, unit if unit in UNITS else "in", {}))["faults"]
    return sentence(faults, refusal.count, unit=unit)


ROWS = Operation(
    name="rows",
    id="takeOffRows",
    read=_read,
    cost=_cost,
    answer=_answer,
    unit=lambda asked: "in",
    request=lambda: RoomsAsked,
    reply=lambda: RoomsTakenOff,
    examples="rows",
)
"""Rooms in, rooms out."""
