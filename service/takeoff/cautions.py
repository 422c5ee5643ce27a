"""What may go wrong on site, by what is in the job; local code and instructions go before it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated, Final

from service.errors import Finding
from service.geometry.surface import Surface
from service.products.kind import AnyKind
from service.products.layer import AnyPlaced
from service.products.rows import FastenerRow
from service.schemas.columns import Text
from service.standards import loader
from service.takeoff.job import Job


@dataclass(frozen=True, slots=True, kw_only=True)
class CautionRow:
    """What may go wrong on site; local code and printed instruction go before it."""

    about: Annotated[Text, "A kind of layer, or a row of the table `cautions`."]
    surfaces: Annotated[tuple[Text, ...], "Ids of the surfaces that it is about."]
    text: Text
    source: Annotated[Text, "What it is from: published, or common practice."]


@dataclass(frozen=True, slots=True)
class _There:
    """What is on one surface, as far as it calls for caution."""

    surface: Surface
    forms: frozenset[str]
    nailed: bool
    crossed: bool

    @property
    def cut(self) -> bool:
        """Whether there are openings in it."""
        return bool(self.surface.openings)


_WALKED_ON: Final = ("floor", "deck")

_WHEN: Final[Mapping[str, Callable[[_There], bool]]] = {
    "local_code": lambda there: True,
    "openings": lambda there: there.cut,
    "floor_openings": lambda there: there.cut and there.surface.type in _WALKED_ON,
    "members_cut": lambda there: there.crossed,
    "nailers": lambda there: there.nailed,
    "dust": lambda there: bool(there.forms - {"roll"}),
    "height": lambda there: there.surface.type not in _WALKED_ON,
}
"""When each row of the table is told; a row that is not here is never told."""


def cautions(
    job: Job,
    placed: Sequence[tuple[AnyKind, AnyPlaced]],
    fasteners: Sequence[FastenerRow],
    findings: Sequence[Finding],
) -> tuple[CautionRow, ...]:
    """The cautions of a job: each once, with the surfaces that it is about."""
    there = [_there(job, surface, placed, fasteners, findings) for surface in job.surfaces]
    return (*_of_job(there), *_of_kinds(placed))


def _there(
    job: Job,
    surface: Surface,
    placed: Sequence[tuple[AnyKind, AnyPlaced]],
    fasteners: Sequence[FastenerRow],
    findings: Sequence[Finding],
) -> _There:
    own = [one for _, one in placed if one.laid.task.surface.id == surface.id]
    return _There(
        surface=surface,
        forms=frozenset(one.laid.task.product.form for one in own),
        nailed=any(row.surface == surface.id and _is_nail(job, row) for row in fasteners),
        crossed=any(
            one.code == "members-crossed" and one.at.split(".")[0] == surface.id for one in findings
        ),
    )


def _is_nail(job: Job, row: FastenerRow) -> bool:
    """Whether fasteners are driven by a nailer, or may be: of some nothing is named."""
    product = None if row.product is None else job.products[row.product][0]
    return getattr(product, "shank", None) != "screw"


def _of_job(there: Sequence[_There]) -> Iterator[CautionRow]:
    table = loader.table("cautions")
    for name, holds in _WHEN.items():
        names = tuple(one.surface.id for one in there if holds(one))
        if names:
            row = table[name]
            yield CautionRow(about=name, surfaces=names, text=row["text"], source=row["source"])


def _of_kinds(placed: Sequence[tuple[AnyKind, AnyPlaced]]) -> Iterator[CautionRow]:
    """Those of each kind that concern the surfaces on which it lies."""
    for kind in {kind.name: kind for kind, _ in placed}.values():
        own = {one.laid.task.surface.id: one.laid.task.surface.type
               for other, one in placed if other.name == kind.name}  # fmt: skip
        for caution in kind.cautions:
            names = tuple(name for name, type_ in own.items() if caution.concerns(type_))
            if names:
                yield CautionRow(
                    about=kind.name, surfaces=names, text=caution.text, source=caution.source
                )
