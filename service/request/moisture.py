"""From what is asked about moisture to the job: shape, then air that can be, and visits in turn."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise
from typing import Final

from service.errors import Fault, ShapeRefused
from service.moisture.air import (
    FREEZING,
    Air,
    celsius,
    humidity_by_dew_point,
    humidity_by_wet_bulb,
)
from service.moisture.meter import Readings
from service.moisture.species import TABLE, all_species
from service.moisture.storing import Stack
from service.request.shaped import shaped
from service.schemas.moisture import (
    AirAsked,
    BoardsAsked,
    MoistureAsked,
    MovingAsked,
    ReadingsAsked,
    StackAsked,
    WoodAsked,
)
from service.standards import loader
from service.takeoff.moisture.alone import MoistureJob
from service.takeoff.moisture.checking import Case
from service.takeoff.moisture.rulings import MoistureRulings
from service.takeoff.moisture.wood import Boards, Season, Wood, season
from service.units.ticks import FOOT, METRIC

CALIBRATED: Final = celsius(Fraction(70))
"""What a meter is usually calibrated for, degrees Celsius."""

USUAL_STACK: Final = 4 * FOOT


def moisture_job_of(asked: object) -> MoistureJob:
    """What a value of strict JSON asks about moisture; raises ShapeRefused."""
    spec = shaped(MoistureAsked, asked)
    faults = [*air_faults(spec.air, "/air"), *visit_faults(spec.boards, "/boards")]
    if spec.framing is not None:
        faults += visit_faults(spec.framing, "/framing")
    if faults:
        raise ShapeRefused(*faults)
    rules = MoistureRulings(
        "boards",
        spec,
        (("job", spec.rules),),
        loader.read(loader.MOISTURE),
        metric=spec.unit in METRIC,
    )
    case = Case(
        boards=_boards(spec.boards),
        seasons=tuple(season_of(one) for one in spec.air),
        framing=None if spec.framing is None else wood_of(spec.framing),
        rules=rules,
    )
    return MoistureJob(spec.unit, case, None if spec.stack is None else _stack(spec.stack))


def cost(job: MoistureJob) -> int:
    """The work of it in pieces of plain boarding: next to none."""
    return len(job.case.seasons)


def air_faults(asked: Sequence[AirAsked], at: str) -> Iterator[Fault]:
    """Air that cannot be, and ids that an earlier one has."""
    seen: set[str] = set()
    for k, one in enumerate(asked):
        if one.id in seen:
            yield Fault("id-twice", f"two airs have the id {one.id}", f"{at}/{k}/id")
        seen.add(one.id)
        yield from _cannot_be(one, f"{at}/{k}")


def _cannot_be(one: AirAsked, at: str) -> Iterator[Fault]:
    for name, colder in (("wet_bulb", one.wet_bulb), ("dew_point", one.dew_point)):
        if colder is not None and one.temperature is not None and colder > one.temperature:
            yield Fault(
                "warmer-than-air",
                f"`{name}` is never over the `temperature` of the air: one of both is wrong",
                f"{at}/{name}",
            )
            return
    if one.wet_bulb is None or one.temperature is None:
        return
    if one.wet_bulb < FREEZING:
        yield Fault(
            "wet-bulb-frozen",
            "a frozen bulb shows something else: send the `humidity` or the `dew_point`",
            f"{at}/wet_bulb",
        )
    elif humidity_by_wet_bulb(one.temperature, one.wet_bulb) < 0:
        yield Fault(
            "drier-than-air-can-be",
            "no air is so dry: `wet_bulb` is too far under the `temperature`",
            f"{at}/wet_bulb",
        )


def visit_faults(asked: WoodAsked, at: str) -> Iterator[Fault]:
    """Visits that come before the one that stands before them."""
    hours = [one.hours or 0 for one in asked.readings or ()]
    for k, (before, now) in enumerate(pairwise(hours)):
        if now <= before:
            yield Fault(
                "visit-before-last",
                f"visits stand in their order: this one is {now} hours after the first, and the "
                f"one before it {before}",
                f"{at}/readings/{k + 1}/hours",
            )


def season_of(asked: AirAsked) -> Season:
    """Air with what it brings wood to."""
    if asked.mc is not None:
        return Season(asked.id, "mc", None, asked.mc)
    assert asked.temperature is not None
    if asked.humidity is not None:
        return season(asked.id, "humidity", Air(asked.temperature, asked.humidity / 100))
    if asked.wet_bulb is not None:
        found = humidity_by_wet_bulb(asked.temperature, asked.wet_bulb)
        return season(asked.id, "wet_bulb", Air(asked.temperature, found))
    assert asked.dew_point is not None
    found = humidity_by_dew_point(asked.temperature, asked.dew_point)
    return season(asked.id, "dew_point", Air(asked.temperature, found))


def wood_of(asked: WoodAsked) -> Wood:
    """How moist some wood is."""
    return Wood(tuple(map(_readings, asked.readings or ())), asked.mc)


def _readings(asked: ReadingsAsked) -> Readings:
    scale = CALIBRATED if asked.calibrated_at is None else asked.calibrated_at
    warm = scale if asked.temperature is None else asked.temperature
    return Readings(asked.hours or 0, tuple(asked.values), warm, scale)


def coefficient_of(asked: MovingAsked) -> tuple[Fraction, str, Fraction | None]:
    """The coefficient of boards, whose it is, and their whole shrinkage where it is known."""
    grain = asked.grain or "flat"
    species = None if asked.species is None else all_species()[asked.species]
    shrinkage = None if species is None else species.shrinkage.get(grain)
    if asked.coefficient is not None:
        return asked.coefficient, "sent", shrinkage
    assert species is not None
    return species.coefficients[grain], TABLE, shrinkage


def _boards(asked: BoardsAsked) -> Boards:
    coefficient, source, shrinkage = coefficient_of(asked)
    return Boards(
        coefficient=coefficient,
        coefficient_of=source,
        shrinkage=shrinkage,
        wood=wood_of(asked),
        coverage=asked.coverage,
        over=asked.coverage if asked.over is None else asked.over,
        tongue=asked.tongue or 0,
        spacer=asked.spacer or 0,
        gap=asked.gap,
    )


def _stack(asked: StackAsked) -> Stack:
    width = USUAL_STACK if asked.width is None else asked.width
    return Stack(asked.length, asked.count, asked.overall, asked.thickness, width)
