"""What is said of offcuts just too short to keep: they are booked as scrap (8.4)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from service.errors import Finding
from service.products.remarks import Remarks
from service.products.rulings import SawingRulings
from service.products.supplied import Supplied
from service.takeoff.job import Job
from service.units.writing import both, counted, total_length


def say_short_offcuts(job: Job, supplied: Sequence[Supplied], said: Remarks) -> None:
    """One finding for each product of sticks of which offcuts of half the kept length are scrap."""
    for found in (one for made in supplied for one in _of(made, job.unit)):
        said.find(found)


def _of(made: Supplied, unit: str) -> Iterator[Finding]:
    rules = next((one.laid.task.rules for one in made.placed), None)
    if not isinstance(rules, SawingRulings):
        return
    keep = rules.keep_offcut
    short = [row.offcut for row in made.sticks if keep <= 2 * row.offcut < 2 * keep]
    if short:
        go = "goes" if len(short) == 1 else "go"
        yield Finding(
            "offcuts-short",
            made.product,
            f"{counted(len(short), 'offcuts')} of {_from_to(min(short), max(short))} {go} to "
            f"scrap, {total_length(sum(short), unit)} in all: under {both(keep)} none is kept; a "
            "lower `keep_offcut` keeps them",
            rule="8.4",
            measure=max(short),
            limit=keep,
        )


def _from_to(least: int, most: int) -> str:
    return both(least) if least == most else f"{both(least)} to {both(most)}"
