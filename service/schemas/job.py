"""What the whole job says besides its surfaces and products."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from service.schemas.base import Asked
from service.schemas.described import PLAIN_TEXT
from service.schemas.labour import Labour
from service.schemas.moisture import JobMoisture
from service.schemas.quantities import Name
from service.schemas.surface import Supports

Objective = Literal[
    "least_cost", "least_length", "fewest_sticks", "fewest_joints", "fewest_lengths"
]


class JobBase(Asked):
    """Job-wide settings; `service.request` adds the surfaces, products and rules of all kinds."""

    unit: Literal["in", "ft", "mm", "cm", "m"] = Field(description="Unit of bare numbers.")
    supports: Supports | None = Field(
        None,
        description="The members behind every surface that sends none of its own; with an `origin` "
        "they are one framing grid for all.",
    )
    nailers: Name | None = Field(
        None,
        description="Id of the lumber of which nailers, headers and blocks are cut behind every "
        "surface that names none of its own.",
    )
    nailer_fastener: Name | None = Field(
        None,
        description="Id of the fastener that holds those to the framing, of every surface that "
        "names none of its own.",
    )
    objective: Objective | None = Field(
        None,
        description="What the stock is chosen for. Default: least_cost if every stock length has "
        "a price, otherwise least_length.",
    )
    currency: Annotated[str, Field(pattern=r"^[A-Z]{3}$", max_length=3)] | None = Field(
        None, description="ISO 4217 code of the prices sent; echoed."
    )
    when_blocked: Literal["refuse", "relax"] | None = Field(
        None,
        description="What to do when a trade rule cannot be met. Default: refuse.",
    )
    effort: Literal["quick", "standard", "thorough"] | None = Field(
        None, description="How much work the search may do. Default: standard."
    )
    method: Literal["together", "as_you_go"] | None = Field(
        None,
        description="How joints and sticks of boards are chosen. `together`: both at once, for the "
        "objective. `as_you_go`: one stock length, course by course, each offcut starts the next "
        "course. Default: together.",
    )
    moisture: JobMoisture | None = Field(
        None,
        description="The air that boards will live in and how moist they are: the spacer and the "
        "gap that follow are laid where none was sent, and it is said whether boards may go up.",
    )
    choices: bool | None = Field(
        None,
        description="Whether the answer sets plans for each board side by side: least material, as "
        "chosen, and fewest joints. Each is solved by itself. Default: false.",
    )
    certificate: bool | None = Field(
        None,
        description="Whether the answer carries what proves the bound of each plan of boards, so "
        "that it can be checked without the service. Default: false.",
    )
    explain: bool | None = Field(
        None,
        description="Whether the answer has the `trace` of the order: how each figure of each line "
        "comes about, its formula with all that goes into it, and its rule. Default: false.",
    )
    labour: Labour | None = Field(
        None, description="Rates for hours. Default: what there is to do is told without hours."
    )
    echo: bool | None = Field(None, description="Whether the answer repeats the request.")
    note: Annotated[str, Field(max_length=500, pattern=PLAIN_TEXT)] | None = Field(
        None, description="Free text; echoed with the request, never read."
    )
