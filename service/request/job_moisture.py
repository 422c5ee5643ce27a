"""The moisture of a job from what was sent: air that can be, boards once, surfaces by name."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from typing import Any

from service.errors import Fault, meant
from service.request.moisture import (
    air_faults,
    coefficient_of,
    season_of,
    visit_faults,
    wood_of,
)
from service.schemas.moisture import JobAir, JobBoards, JobFraming, JobMoisture
from service.standards import loader
from service.takeoff.moisture.job_wood import BoardWood, JobWood, OnSurfaces
from service.takeoff.moisture.rulings import MoistureRulings
from service.units.ticks import METRIC


def moisture_faults(asked: JobMoisture, surfaces: Collection[str]) -> Iterator[Fault]:
    """What is wrong with the moisture of a job beside its shape."""
    yield from air_faults(asked.air, "/moisture/air")
    yield from _no_surface(asked.air, "/moisture/air", surfaces)
    yield from _no_surface(asked.framing or (), "/moisture/framing", surfaces)
    seen: set[str] = set()
    for k, boards in enumerate(asked.boards):
        if boards.product in seen:
            text = f"the boards of {boards.product} are told twice: keep one of both"
            yield Fault("id-twice", text, f"/moisture/boards/{k}/product")
        seen.add(boards.product)
        yield from visit_faults(boards, f"/moisture/boards/{k}")
    for k, framing in enumerate(asked.framing or ()):
        yield from visit_faults(framing, f"/moisture/framing/{k}")


def _no_surface(
    asked: Sequence[JobAir | JobFraming], at: str, surfaces: Collection[str]
) -> Iterator[Fault]:
    for k, one in enumerate(asked):
        for n, name in enumerate(one.surfaces or ()):
            if name not in surfaces:
                text = f"no surface has the id {name}: {meant(name, surfaces)}"
                yield Fault("no-such-surface", text, f"{at}/{k}/surfaces/{n}")


def moisture_of(asked: JobMoisture, spec: Any) -> JobWood:
    """The moisture of a job that has no faults."""
    levels = (("job", asked.rules),)

    def rules(at: str) -> MoistureRulings:
        metric = spec.unit in METRIC
        return MoistureRulings(at, asked, levels, loader.read(loader.MOISTURE), metric=metric)

    return JobWood(
        air=tuple(OnSurfaces(season_of(one), _names(one)) for one in asked.air),
        boards={
            one.product: _boards(one, f"/moisture/boards/{k}") for k, one in enumerate(asked.boards)
        },
        framing=tuple(OnSurfaces(wood_of(one), _names(one)) for one in asked.framing or ()),
        rules=rules,
    )


def _names(asked: JobAir | JobFraming) -> frozenset[str] | None:
    return None if asked.surfaces is None else frozenset(asked.surfaces)


def _boards(asked: JobBoards, pointer: str) -> BoardWood:
    coefficient, source, shrinkage = coefficient_of(asked)
    return BoardWood(coefficient, source, shrinkage, wood_of(asked), pointer)
