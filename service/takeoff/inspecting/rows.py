"""Rows of the inspection sheet, and what they are made from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated, ClassVar, Literal, TypeAlias

from service.products.backing_rows import BackingRow
from service.products.kind import AnyKind
from service.products.layer import AnyPlaced
from service.products.rows import FastenerRow
from service.products.shim_rows import ShimRow
from service.schemas.columns import Inside, Text, Worded, computed
from service.takeoff.job import Job
from service.takeoff.moisture.job_rows import LayerCheckRow
from service.takeoff.moisture.rows import Result, in_caller_system

Told: TypeAlias = Literal["met", "not_met", "not_checkable"]


@dataclass(frozen=True, slots=True, kw_only=True)
class InspectionRow:
    """One thing to be seen before what it is about is covered: whether the job is so, or the site.

    What is `not_checkable` here is looked at on the site. Nothing of it is a permit: the authority
    having jurisdiction says what it inspects.
    """

    surface: Annotated[Text | None, "Null for a product that no layer is made with."]
    hold_point: Annotated[Text | None, "`framing`, or the layer that is looked at."]
    before: Annotated[Text | None, "The layer that covers it: not before. Null for the last."]
    product: Text | None
    check: Annotated[Text, "What is looked at."]
    result: Result
    source: Annotated[Text, "Where it is printed, or `as taken off`."]
    rule: Text
    words: Inside[str]
    in_words: ClassVar[Worded] = computed(in_caller_system)


@dataclass(frozen=True, slots=True)
class Site:
    """A job as it was taken off, as far as it is looked at."""

    job: Job
    placed: Sequence[tuple[AnyKind, AnyPlaced]]
    fasteners: Sequence[FastenerRow]
    backing: Sequence[BackingRow]
    shims: Sequence[ShimRow]
    moisture: Sequence[LayerCheckRow]

    def layers(self, surface: str) -> list[AnyPlaced]:
        """The layers of a surface, from the framing outward, each once."""
        own = {one.laid.task.at: one for _, one in self.placed
               if one.laid.task.surface.id == surface}  # fmt: skip
        return [own[one.task.at] for one in self.job.layers if one.task.at in own]

    def fastened(self, one: AnyPlaced) -> list[FastenerRow]:
        """The fasteners of a layer, but for those of its backing."""
        task = one.laid.task
        return [row for row in self.fasteners
                if (row.surface, row.layer) == (task.surface.id, task.layer_id)
                and row.where != "backing"]  # fmt: skip
