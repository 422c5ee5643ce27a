"""Rows of fasteners as most layers count them: driven through the face, so many in each place."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from service.fastening.reach import Reach
from service.products.fasteners import NamedFastener
from service.products.layer import AnyTask
from service.products.rows import FastenerRow


@dataclass(frozen=True, slots=True)
class Counted:
    """How many there are in one place of a layer (`where`), and what was counted, in words.

    `apart` is how far from one to the next in a row, ticks; None where they stand in none.
    """

    where: str
    count: int
    counted: str
    apart: int | None = None


def through_the_face(
    task: AnyTask,
    pattern: str,
    named: NamedFastener | None,
    reach: Reach | None,
    counts: Iterable[Counted],
) -> tuple[FastenerRow, ...]:
    """A row for each place at which there is anything to fasten, in the order given."""
    return tuple(
        FastenerRow(
            surface=task.surface.id,
            layer=task.layer_id,
            product=None if named is None else named[0].id,
            where=one.where,
            pattern=pattern,
            place="face",
            spacing=one.apart,
            count=one.count,
            counted=one.counted,
            reach=reach,
        )
        for one in counts
        if one.count
    )
