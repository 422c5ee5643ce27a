"""Skins as runs to be jointed with the stock: where their joints may be (16.6), and cores."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from service.cutting.records import Stock
from service.cutting.sticks.rips import RipWidth
from service.errors import Cure, Fault, Relaxed, Ticks, TradeRefused
from service.joints.free_joints import free_stations, most_stations
from service.joints.records import Blocked, JointRules, JointRun, Places
from service.layout.bearings import BearingLine
from service.products.kinds.box_beams.part_ends import behind, deepest, through
from service.products.kinds.box_beams.records import BoxBeams, LaidBoxBeams, Part
from service.products.kinds.box_beams.rulings import BoardTask, Task
from service.products.sticks.needs import Lowering
from service.products.stock import longest_cut
from service.units.ticks import FOOT, down, nearest
from service.units.writing import both

COURSES = 10
"""Parts of one beam have numbers next to each other, those of two beams none."""

PLACES = {"near side": 1, "bottom": 2, "far side": 3}


def joint_rules(task: BoardTask) -> JointRules:
    """The rules of joints in skins: anywhere over the core, apart from each other (16.6)."""
    rules = task.rules
    return JointRules(
        places=Places.ANYWHERE,
        min_piece=rules.min_piece,
        min_bearings=0,
        stagger=rules.part_stagger,
        repeat=rules.part_stagger,
        cut_to=rules.part_step,
        min_touch=0,
        end_matched=False,
        spares_joints=rules.trims(task.product).spares_joints,
    )


@dataclass(frozen=True, slots=True)
class Skins:
    """The skins of one layer, with the rules of their joints (easings applied).

    `task` is its own, as one that takes boards. `taken` are the stations of joints of the cores,
    and of what is up already, by beam.
    """

    layer: LaidBoxBeams
    task: BoardTask
    rules: JointRules
    taken: dict[int, tuple[int, ...]]
    relaxed: tuple[Relaxed, ...] = ()

    @property
    def lifted(self) -> bool:
        """Parts have as many joints as they take."""
        return False

    def with_any_joints(self) -> Skins:
        """They have."""
        return self

    @property
    def drawn(self) -> int:
        """Twice the area of a whole board for each skin."""
        lengths = sum(part.length for part in self.layer.detail.skins)
        return 2 * self.task.product.overall * lengths

    @property
    def lies_in_courses(self) -> bool:
        """Skins are parts of beams."""
        return False

    @property
    def names(self) -> list[str]:
        """The names of the skins."""
        return [f"{self.layer.task.at}.{part.label}" for part in self.layer.detail.skins]

    def runs(self, stack: int, stocks: Sequence[Stock], layers: int = 1) -> list[JointRun]:
        """Each skin as a run; one that a stick holds has no joint."""
        longest = max((stock.usable for stock in stocks), default=0)
        long = [part for part in self.layer.detail.skins if part.length > longest]
        most = most_stations(layers * max(1, len(long)))
        task = self.task
        spares = task.rules.trims(task.product).spares(covered=False)
        return [
            JointRun(
                stack=stack,
                course=COURSES * part.beam + PLACES[part.name],
                low=part.low,
                high=part.high,
                stations=self._stations(part, stocks, most) if part.length > longest else (),
                line=BearingLine((), (), 0),
                name=f"{task.at}.{part.label}",
                strip=self._strip(part),
                mitres=self._mitres(part),
                spared=(spares, spares),
                takes_more=(False, False),
            )
            for part in self.layer.detail.skins
        ]

    def _strip(self, part: Part) -> RipWidth | None:
        """What it is ripped to; None where it is a whole board."""
        if part.width == self.task.product.overall:
            return None
        return RipWidth(part.width, trim=self.task.rules.trimmed)

    def _mitres(self, part: Part) -> tuple[int, int]:
        """By how much mitred ends are shorter in the mean than at their long points."""
        low, high = (
            behind(line) + through(tilt, self.task.product.thickness) // 2
            for line, tilt in zip(part.lines, part.tilts, strict=True)
        )
        return low, high

    def _stations(self, part: Part, stocks: Sequence[Stock], most: int) -> tuple[int, ...]:
        """Where a part may be jointed: at no crossing, and off the joints of the core (16.6)."""
        sticks = sorted({stock.usable for stock in stocks if not stock.kept})
        step = self.rules.cut_to
        found = {nearest(part.low + at, step) for at in free_stations(part.length, sticks, most)}
        shut = crossings(self.layer.detail, part)
        apart = self.rules.stagger
        shut += [(at - apart, at + apart) for at in self.taken.get(part.beam, ())]
        first, last = (max(self.rules.min_piece, deepest(line)) for line in part.lines)
        low, high = part.low + first, part.high - last
        return tuple(
            at for at in sorted(found)
            if low <= at <= high and not any(a < at < b for a, b in shut)
        )  # fmt: skip

    def eased(self, blocked: Blocked, stocks: Sequence[Stock], kerf: int, *, relax: bool) -> Skins:
        """With joints as near as they must be, where the caller relaxes; TradeRefused else."""
        asked = self.rules.stagger
        if not (relax and asked):
            raise self.refused()
        told = Relaxed("16.6", "part_stagger", Ticks(asked), Ticks(0), (self.layer.task.at,))
        rules = replace(self.rules, stagger=0, repeat=0)
        return replace(self, rules=rules, relaxed=(*self.relaxed, told))

    def refused(self) -> TradeRefused:
        """No layout was found: what a longer stock would do."""
        return blocked(self.task, self.layer.detail.skins, self.rules.stagger)

    def lowered(self, stocks: Sequence[Stock]) -> Iterator[Lowering]:
        """The distance of joints alone given up."""
        asked = self.rules.stagger
        if asked:
            freed = replace(self, rules=replace(self.rules, stagger=0, repeat=0))
            yield Lowering("16.6", "part_stagger", Ticks(asked), Ticks(0), freed)


def blocked(task: Task, skins: Sequence[Part], apart: int) -> TradeRefused:
    """No joints so far `apart` were found in skins: what a longer stock would do."""
    longest = max((one.length for one in task.product.stock), default=0)
    wanted = max(part.length for part in skins)
    at = f"{task.product_pointer}/stock"
    text = (
        f"a skin of {both(wanted)} cannot be jointed from stock up to {both(longest)} long with "
        f"joints {both(apart)} apart and off the crossings (`part_stagger`)"
    )
    cure = Cure(f"{at}/-", {"length": Ticks(wanted + FOOT)})
    return TradeRefused(
        Fault("beam-joints-blocked", text, at, cure, "16.6", measure=wanted, limit=longest)
    )


def crossings(laid: BoxBeams, part: Part) -> list[tuple[int, int]]:
    """Where other beams cross a part."""
    if len(laid.sets) < 2:
        return []
    return [(line.near, line.far) for line in laid.sets[1 - part.of].lines]


def taken_by_beam(task: Task, detail: BoxBeams) -> dict[int, tuple[int, ...]]:
    """Stations of joints that those of the skins keep off: of cores, and of what is up (16.6)."""
    taken, joints = _joints_up(task, detail), core_joints(task, detail)
    for part in detail.cores:
        taken[part.beam] = (*taken.get(part.beam, ()), *joints.get(part.label, ()))
    return taken


def core_joints(task: Task, detail: BoxBeams) -> dict[str, tuple[int, ...]]:
    """Stations of the joints of each core, by its label: as few as the longest stick gives.

    On a member where one stands in reach, for both ends hold there; else in equal parts.
    """
    if detail.core is None:
        return {}
    rules, (lumber, _) = task.rules, detail.core
    usable = longest_cut(lumber.stock, rules.stick_trims)
    lines = {beam.number: beam.members for beam in detail.beams}
    return {
        part.label: _split(part, down(usable, rules.cut_to), lines[part.beam].stations)
        for part in detail.cores
    }


def _joints_up(task: Task, detail: BoxBeams) -> dict[int, tuple[int, ...]]:
    """Stations of the joints of parts that are up already, by beam."""
    standing = task.standing
    found: dict[int, tuple[int, ...]] = {}
    for point in standing.joints if standing is not None else ():
        for beam in detail.beams:
            at, v = detail.sets[beam.of].frame.to(point)
            if beam.line.near < v < beam.line.far:
                found[beam.number] = (*found.get(beam.number, ()), at)
    return found


def _split(part: Part, usable: int, members: Sequence[int]) -> tuple[int, ...]:
    count = max(1, -(-part.length // max(1, usable)))
    wanted = [part.low + part.length * k // count for k in range(1, count)]
    found: list[int] = []
    for k, at in enumerate(wanted):
        before = found[-1] if found else part.low
        rest = part.high - usable * (count - 1 - k)
        near = [one for one in members if max(before + 1, rest) <= one <= before + usable]
        found.append(min(near, key=lambda one: (abs(one - at), one), default=at))
    return tuple(found)


def core_pieces(part: Part, joints: Sequence[int]) -> list[tuple[int, int]]:
    """From where to where each piece of a core lies."""
    return list(pairwise((part.low, *joints, part.high)))
