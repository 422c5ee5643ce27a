"""Species of wood: what each shrinks, and its coefficients of movement."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Final, Literal

from service.standards import loader

TABLE: Final = "wood_movement"

Grain = Literal["flat", "edge"]
"""How the growth rings lie in the wide face: flat (plain sawn), or edge (quarter sawn)."""


@dataclass(frozen=True, slots=True)
class Species:
    """A species: its coefficients by grain, its whole shrinkage where known, and their source.

    Shrinkage is in percent of the green width.
    """

    name: str
    called: str
    coefficients: dict[Grain, Fraction]
    shrinkage: dict[Grain, Fraction]
    is_read: bool
    """Whether the coefficients were read in print; others are computed from the shrinkage."""


@cache
def all_species() -> dict[str, Species]:
    """Every species of the table, by name."""
    return {row["species"]: _species(row) for row in loader.table(TABLE)["rows"]}


def _species(row: dict[str, str]) -> Species:
    shrinkage = {
        grain: Fraction(row[key])
        for grain, key in (("flat", "tangential"), ("edge", "radial"))
        if key in row
    }
    return Species(
        name=row["species"],
        called=row["called"],
        coefficients={
            "flat": Fraction(row["flat"]),
            "edge": Fraction(row["edge"]),
        },
        shrinkage=shrinkage,  # type: ignore[arg-type]  # the keys stand above
        is_read=row["coefficients"] == "read",
    )
