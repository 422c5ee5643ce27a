"""The parts of each segment: sides, bottom and core, as long as they are cut (16.1, 16.3, 16.4)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from service.products.kinds.box_beams.part_ends import Reach, pointed_line, reach_of, tilt
from service.products.kinds.box_beams.records import (
    Beam,
    EndLine,
    LaidSet,
    Part,
    PartName,
    Section,
    Segment,
    square_line,
)
from service.products.kinds.box_beams.rulings import Task
from service.units.once import once
from service.units.ticks import down, nearest

MITRE: Final = 45.0
"""Degrees off square of a mitred end, through the thickness of a side (16.4)."""


def skins_of(task: Task, beams: Sequence[Beam], segments: Sequence[Segment]) -> Iterator[Part]:
    """Sides and bottom of each segment, near side first; a half beam has the side to the room."""
    of = {beam.number: beam for beam in beams}
    for segment in segments:
        beam = of[segment.beam]
        strips = _unfolded(beam.section, segment)
        for name, (near, far) in strips.items():
            yield Skin(task, beam, segment, name, near, far).part


def _unfolded(section: Section, segment: Segment) -> dict[PartName, tuple[int, int]]:
    """Where the face of each skin lies across the beam, unfolded about the bottom."""
    line, wide = segment.line, section.bottom
    near = line.near + (section.width - wide) // 2
    if line.wall == "low":
        near = line.near
    elif line.wall == "high":
        near = line.far - wide
    strips: dict[PartName, tuple[int, int]] = {
        "near side": (near - section.side, near),
        "bottom": (near, near + wide),
        "far side": (near + wide, near + wide + section.side),
    }
    if line.wall is not None:
        del strips["near side" if line.wall == "low" else "far side"]
    return strips


@dataclass(frozen=True)
class Skin:
    """One skin of a segment, on its way to a part."""

    task: Task
    beam: Beam
    segment: Segment
    name: PartName
    near: int
    far: int

    @once
    def part(self) -> Part:
        """The skin as it is cut."""
        reach, meets = self._reach, self.segment.meets
        low_more, high_more = (self._more(end) for end in (0, 1))
        low, length = reach.low - low_more, reach.high - reach.low + low_more + high_more
        return Part(
            of=self.beam.of, beam=self.beam.number, segment=self.segment.number, name=self.name,
            low=low, length=self._cut(length), near=self.near, far=self.far, meets=meets,
            bevels=self.beam.section.bevels[self.name == "bottom"],
            lines=(self._line(0), self._line(1)), tilts=(self._tilt(0), self._tilt(1)),
        )  # fmt: skip

    @once
    def _reach(self) -> Reach:
        """How it lies between walls and faces: a bottom flat, a side on its edge."""
        line, thick = self.segment.line, self.beam.section.thickness
        near, far = line.within(thick, thick).sides if self._is_within else line.sides
        strip = {
            "near side": (line.near, line.near + thick),
            "far side": (line.far - thick, line.far),
        }.get(self.name, (near, far))
        return reach_of(self.segment, *strip)

    def _line(self, end: int) -> EndLine:
        """An end across its face: that of a bottom runs along the wall, or to a point (16.4)."""
        if self.name != "bottom":
            return square_line(self.near, self.far)
        if self.segment.meets[end] == "mitred":
            return pointed_line(self.near, self.far)
        return self._reach.lines[end]

    def _tilt(self, end: int) -> float:
        """An end through its thickness: a side's along the wall, or mitred, long at its back."""
        if self.name == "bottom":
            return 0.0
        if self.segment.meets[end] == "mitred":
            return -MITRE
        return tilt(self._reach.lines[end], face_is_near=self.name == "near side")

    @property
    def _is_within(self) -> bool:
        """Whether it is a bottom that lies between the sides."""
        return self.beam.section.bottom < self.beam.section.width

    def _more(self, end: int) -> int:
        """What it is longer at an end than what is clear there.

        A mitred bottom runs to the middle of the crossing, a mitred side by its thickness to the
        long point at its back (16.4).
        """
        if self.segment.meets[end] != "mitred":
            return 0
        if self.name == "bottom":
            return self.segment.across[end] // 2
        return self.beam.section.thickness

    def _cut(self, length: int) -> int:
        """Sprung in between two faces where it is long enough, else cut to fit (16.3)."""
        rules = self.task.rules
        if "butted" in self.segment.meets:
            if length >= rules.spring_from:
                length += rules.spring
            return max(rules.part_step, nearest(length, rules.part_step))
        return max(rules.part_step, down(length, rules.part_step))


def cores_of(
    task: Task, sets: Sequence[LaidSet], beams: Sequence[Beam], segments: Sequence[Segment]
) -> Iterator[Part]:
    """The core of each segment: those of the butting set reach to the cores of the others.

    Cores run through in one set and butt in the other whatever becomes of the skins.
    """
    of = {beam.number: beam for beam in beams}
    step = task.rules.cut_to
    for segment in segments:
        beam = of[segment.beam]
        line = sets[beam.of].blocked(beam.line)
        reach = reach_of(segment, line.near, line.far)
        low, high = reach.low, reach.high
        if "butted" in segment.meets:
            low, high = _to_cores(sets[0], segment, low, high)
        yield Part(
            of=beam.of,
            beam=beam.number,
            segment=segment.number,
            name="core",
            low=low,
            length=max(step, down(high - low, step)),
            near=line.near,
            far=line.far,
            meets=segment.meets,
            lines=reach.lines,
        )


def _to_cores(through: LaidSet, segment: Segment, low: int, high: int) -> tuple[int, int]:
    """From core to core, or to where it ends at a wall, of a segment that butts."""
    for line in through.lines:
        core = through.blocked(line)
        if segment.meets[0] == "butted" and line.far == segment.low:
            low = core.far
        if segment.meets[1] == "butted" and line.near == segment.high:
            high = core.near
    return low, high
