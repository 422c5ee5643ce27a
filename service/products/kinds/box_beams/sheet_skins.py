"""Skins ripped from sheets along their length: where they are jointed, and what is sawn (16.7).

Joints are as few as the longest sheet gives, off the crossings, and apart from those of the other
parts of the beam (16.6). They hang on no plan, so that panels of the same product are jointed and
nested beside parts that are known.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TypeAlias

from service.cutting.sheets.nesting import Part as Sawn
from service.errors import Relaxed, Ticks
from service.products.goods.sheet import FORM as SHEET
from service.products.goods.sheet.needs import Need, Sheeting
from service.products.kinds.box_beams.jointing import blocked, crossings, taken_by_beam
from service.products.kinds.box_beams.part_ends import deepest
from service.products.kinds.box_beams.records import BoxBeams, LaidBoxBeams, Part
from service.products.kinds.box_beams.rulings import SheetTask, Task, of_sheets
from service.products.remarks import Remarks
from service.units.ticks import down

Joints: TypeAlias = tuple[int, ...]
"""Stations along a beam, ascending."""

Piece: TypeAlias = tuple[str, int, int]
"""The name of a piece of a skin, and from where to where it lies along its beam."""


def jointed(task: Task, detail: BoxBeams, said: Remarks) -> BoxBeams:
    """The beams with the joints of skins from sheets; as they are where those are of boards.

    Raises TradeRefused where a skin cannot be jointed; where the caller relaxes, joints lie as
    near to each other as they must.
    """
    own, apart = of_sheets(task), task.rules.part_stagger
    if own is None:
        return detail
    found = _joints(own, detail, apart)
    if found is None and task.relax and apart:
        found = _joints(own, detail, 0)
        told = Relaxed("16.6", "part_stagger", Ticks(apart), Ticks(0), (task.at,))
        said.relaxed.extend([told] if found is not None else [])
    if found is None:
        raise blocked(task, detail.skins, apart)
    return replace(detail, joints=found)


def _joints(task: SheetTask, detail: BoxBeams, apart: int) -> dict[str, Joints] | None:
    """The joints of each skin by its label, each skin off those before it in its beam."""
    taken = taken_by_beam(task, detail)
    longest = max(one.length for one in task.product.stock)
    found: dict[str, Joints] = {}
    for part in detail.skins:
        near = [(at - apart, at + apart) for at in taken.get(part.beam, ())]
        shut = [one for one in (*crossings(detail, part), *near) if one[0] < one[1]]
        least = max(task.rules.min_piece, *map(deepest, part.lines))
        joints = _Skin(part, longest, least, task.rules.part_step, shut).joints()
        if joints is None:
            return None
        found[part.label] = joints
        taken[part.beam] = (*taken.get(part.beam, ()), *joints)
    return found


@dataclass(frozen=True, slots=True)
class _Skin:
    """A skin to be jointed: pieces from `least` to `most` long, no joint within what is `shut`."""

    part: Part
    most: int
    least: int
    step: int
    shut: Sequence[tuple[int, int]]

    def joints(self) -> Joints | None:
        """The fewest joints, the first ones as far along as they may be; None without any way.

        Joints so far along as the sheet, or what is shut, lets them are enough: any other can be
        moved along to the next of these without one more.
        """
        if self.part.length <= self.most:
            return ()
        begun: dict[int, Joints] = {self.part.low: ()}
        while begun:
            ends = [one for at, one in begun.items() if self.part.high - at <= self.most]
            if ends:
                return max(ends)
            begun = {to: (*one, to) for at, one in sorted(begun.items()) for to in self._next(at)}
        return None

    def _next(self, at: int) -> Iterator[int]:
        """Where the next joint may lie after one at `at`."""
        high = min(at + self.most, self.part.high - self.least)
        ends = (high, *(low for low, _ in self.shut if low < high))
        low = self.part.low
        for end in {low + down(one - low, self.step) for one in ends if one > at}:
            if end - at >= self.least and not any(a < end < b for a, b in self.shut):
                yield end


def pieces_of(layer: LaidBoxBeams, part: Part) -> Iterator[Piece]:
    """The pieces of a skin."""
    cuts = pairwise((part.low, *layer.detail.joints[part.label], part.high))
    for k, (low, high) in enumerate(cuts, 1):
        yield f"{layer.task.at}.{part.label}.{k}", low, high


def sheets_needed(layer: LaidBoxBeams, task: SheetTask) -> Need:
    """What is sawn for each piece: a strip along the sheet, as wide as its skin."""
    parts = {
        name: Sawn(high - low, part.width)
        for part in layer.detail.skins
        for name, low, high in pieces_of(layer, part)
    }
    bare = sum(part.length * part.width for part in layer.detail.skins)
    whole = not any(layer.detail.joints.values())
    trim = task.rules.trimmed
    return SHEET.need(task, Sheeting(parts=parts, bare=bare, whole=whole, trim=trim))
