"""What moisture does to boards, in the form that was asked for."""

from __future__ import annotations

import orjson

from service.answering.operation import CSV, JSON, Operation, Picked, Rendered
from service.report.printout.columns import USUAL
from service.report.printout.moisture import moisture_printout
from service.report.tables.moisture import (
    MOIST_BY_NAME,
    flat_moisture,
    moisture_csv,
    moisture_shape,
)
from service.request.moisture import cost, moisture_job_of
from service.request.shaped import unit_of
from service.schemas.moisture import MoistureAsked
from service.takeoff.moisture.alone import Moistened, MoistureJob, moist


def _answer(job: MoistureJob, picked: Picked) -> Rendered:
    return Rendered(_rendered(moist(job), picked), None)


def _rendered(made: Moistened, picked: Picked) -> bytes:
    if picked.media == CSV:
        return moisture_csv(made, picked.table)
    answer = flat_moisture(made)
    if picked.media == JSON:
        return orjson.dumps(picked.kept(answer, MOIST_BY_NAME))
    plain = orjson.loads(orjson.dumps(answer))
    return moisture_printout(plain, picked.columns or USUAL).encode()


MOISTURE = Operation(
    name="moisture",
    id="moisten",
    read=moisture_job_of,
    cost=cost,
    answer=_answer,
    unit=unit_of,
    request=lambda: MoistureAsked,
    reply=moisture_shape,
    examples="moisture",
)
