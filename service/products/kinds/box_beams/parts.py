"""The parts of each segment: sides, bottom and core, as long as they are cut (16.1, 16.3, 16.4)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from service.geometry.plane import clip_to_boxes
from service.geometry.strips import refined
from service.products.kinds.box_beams.records import (
    Beam,
    LaidSet,
    Part,
    PartName,
    Section,
    Segment,
)
from service.products.kinds.box_beams.rulings import Task
from service.units.once import once
from service.units.ticks import down, nearest


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
        low, high = self._reach
        low_more, high_more = (self._more(end) for end in (0, 1))
        low, length = low - low_more, self._cut(high - low + low_more + high_more)
        section, pointed = self.beam.section, self.name == "bottom"
        meets = self.segment.meets
        return Part(
            of=self.beam.of, beam=self.beam.number, segment=self.segment.number, name=self.name,
            low=low, length=length, near=self.near, far=self.far, meets=meets,
            bevels=section.bevels[pointed],
            pointed=(pointed and meets[0] == "mitred", pointed and meets[1] == "mitred"),
        )  # fmt: skip

    @once
    def _reach(self) -> tuple[int, int]:
        """From where to where it lies between walls and faces, at its furthest points."""
        line, thick = self.segment.line, self.beam.section.thickness
        near, far = line.within(thick, thick).sides if self._is_within else line.sides
        strip = {
            "near side": (line.near, line.near + thick),
            "far side": (line.far - thick, line.far),
        }.get(self.name, (near, far))
        return _reach_of(self.segment, *strip)

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


def _reach_of(segment: Segment, near: int, far: int) -> tuple[int, int]:
    """From where to where a segment reaches within a strip of it, at its furthest points.

    Along a slanted wall a side, the bottom and the core each reach as far as they lie.
    """
    shape = segment.shape
    if shape.is_box:
        return segment.low, segment.high
    low, high, *_ = shape.box
    (found,) = clip_to_boxes(refined((shape,), [near, far], axis=1), [(low, high, near, far)])
    ends = [one.box for one in found] or [shape.box]
    return min(one[0] for one in ends), max(one[1] for one in ends)


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
        low, high = _reach_of(segment, line.near, line.far)
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
