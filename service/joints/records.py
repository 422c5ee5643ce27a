"""What the joint solver is given and gives back. Stations and lengths are ticks."""

from __future__ import annotations

from collections.abc import Set
from dataclasses import dataclass, replace
from enum import Enum
from typing import Literal, NamedTuple

from service.cutting.records import Need, Plan
from service.cutting.sticks.rips import RipWidth
from service.layout.bearings import BearingLine
from service.units.ticks import down, nearest, up

LooseRule = Literal["stagger", "repeat", "min_bearings", "min_piece"]
"""The rules of joints that may be lowered where no layout keeps them."""


class Places(Enum):
    """Where end joints may be (6.2)."""

    FRAMING = "framing"
    FRAMING_OR_BLOCK = "framing_or_block"
    SHEATHING = "sheathing"
    ANYWHERE = "anywhere"
    FLOATING = "floating"
    NONE = "none"


@dataclass(frozen=True, slots=True)
class JointRules:
    """The rules of one layer: lengths in ticks, `min_bearings` 0 where no framing counts.

    `whole_where_it_fits`: a run that one stick holds is one piece (6.1); without it such a run
    may be jointed where that costs less. `spares_joints`: the end of a piece at a joint takes less
    of a raw end of the stick than one that is covered (8.1). Each run may have so many `extra`
    joints beyond those that it should have at most (6.3). A piece counts as so much shorter than it
    is cut as is `lost` of one from the low end of its run, and of one from a joint.
    """

    places: Places
    min_piece: int
    min_bearings: int
    stagger: int
    repeat: int
    cut_to: int
    min_touch: int
    end_matched: bool
    whole_where_it_fits: bool = True
    spares_joints: bool = False
    extra: int = 0
    lost: tuple[int, int] = (0, 0)

    def asked(self, rule: LooseRule) -> int:
        """What is asked by a rule that may be lowered."""
        return {
            "stagger": self.stagger,
            "repeat": self.repeat,
            "min_bearings": self.min_bearings,
            "min_piece": self.min_piece,
        }[rule]

    def lowered(self, rule: LooseRule, to: int) -> JointRules:
        """With one of them lowered."""
        match rule:
            case "stagger":
                return replace(self, stagger=to)
            case "repeat":
                return replace(self, repeat=to)
            case "min_bearings":
                return replace(self, min_bearings=to)
            case "min_piece":
                return replace(self, min_piece=to)

    def cut_length(self, run: JointRun, low: int, high: int) -> int:
        """Length to which the piece of a run between two stations is cut (0.2).

        Joints are at stations rounded to `cut_to`; an end of the run takes the rest, up where a
        little more will do at one of the piece's ends, down where it must fit.
        """
        low_end, high_end = low == run.low, high == run.high
        a = low if low_end else nearest(low, self.cut_to)
        b = high if high_end else nearest(high, self.cut_to)
        if not (low_end or high_end):
            return b - a
        more = (low_end and run.takes_more[0]) or (high_end and run.takes_more[1])
        wild = run.wild[0] * low_end + run.wild[1] * high_end
        return wild + (up(b - a, self.cut_to) if more else down(b - a, self.cut_to))

    def least_sum(self, run: JointRun) -> int:
        """What the pieces of a run are long together at least, wherever its joints are."""
        low_more, high_more = run.takes_more
        less = run.shorter_by(low_end=True, high_end=True)
        if low_more and high_more:
            return run.wild[0] + run.wild[1] + up(run.high - run.low, self.cut_to) - less
        # Each end rounded by itself gives no more than one piece, rounded as a whole, has.
        first = down(run.low, self.cut_to) if low_more else up(run.low, self.cut_to)
        last = up(run.high, self.cut_to) if high_more else down(run.high, self.cut_to)
        return run.wild[0] + run.wild[1] + last - first - less

    def need(self, run: JointRun, low: int, high: int) -> Need:
        """What is cut for the piece of a run between two stations."""
        low_end, high_end = low == run.low, high == run.high
        length, matched = self.cut_length(run, low, high), self.end_matched
        spared = (
            run.spared[0] if low_end else self.spares_joints,
            run.spared[1] if high_end else self.spares_joints,
        )
        first, last = spared[::-1] if run.turned else spared
        length -= run.shorter_by(low_end=low_end, high_end=high_end)
        length -= self.lost[0 if low_end else 1]
        need = Need(length, matched and not low_end, matched and not high_end, first, last)
        if not any(run.leans):
            return need
        low_cut, high_cut = run.leaning(low_end=low_end, high_end=high_end)
        return need._replace(low_cut=low_cut, high_cut=high_cut)

    def cut(self, run: JointRun, low: int, high: int) -> Cut:
        """The piece of a run between two stations."""
        return Cut(low, high, self.need(run, low, high))


class Slant(NamedTuple):
    """How far an end lies behind its long point at the near and far edge of the face, and in mean.

    At an edge where that is 0 the long point is. Where neither is 0, a piece of any shape might lie
    against the end, and save no more than the greater of the two. `cut` is by how much it lies
    further behind at the far edge than at the near one, exactly, where one straight cut makes it
    over the whole face of an unripped board; 0 elsewhere.
    """

    near: int = 0
    far: int = 0
    mean: int = 0
    cut: int = 0

    @property
    def mirrored(self) -> Slant:
        """The same with its edges exchanged."""
        return Slant(self.far, self.near, self.mean, -self.cut)


@dataclass(frozen=True, slots=True)
class JointRun:
    """One run: its stack (a layer of a surface), course, extent and allowed joint stations.

    `installed` are the joints of a run that is there already: nothing is cut for it, and its
    neighbours keep apart from its joints. None for a run that is to be laid. `strip` is the width
    that it is ripped to along its whole length, None where its boards are whole. `slants` are its
    two ends over its `face`, and `mitres` what each may save where a neighbour in the stick shares
    a slanted cut with it (4.5). `spared` are those of its two ends that take less of a raw
    end of a stick than a joint does; the board's own low end is at the run's high one where it lies
    `turned` half round (8.1). An end `takes_more` where a piece a little too long will do: it is
    covered, or cut in place (0.2); one that `gives` lies in a covered gap that gives (3.9). An end
    that is `wild` is laid so much longer, to be cut to a line once it is fastened (3.17).
    The run has `most` joints if it can be made of so few (6.3).
    `few` are few stations, where joints may be anywhere: where a joint has a price the search
    often finds a better plan among them than among all. Its end pieces count as `shorter` by what
    half of a shared cut saves, where layouts are looked for whose sticks share them. `leans` says
    how deep its two ends are, over 0 where they rise, where only ends that slant alike save.
    """

    stack: int
    course: int
    low: int
    high: int
    stations: tuple[int, ...]
    line: BearingLine
    name: str
    installed: tuple[int, ...] | None = None
    strip: RipWidth | None = None
    slants: tuple[Slant, Slant] = (Slant(), Slant())
    face: int = 0
    mitres: tuple[int, int] = (0, 0)
    spared: tuple[bool, bool] = (False, False)
    takes_more: tuple[bool, bool] = (True, True)
    gives: tuple[bool, bool] = (False, False)
    wild: tuple[int, int] = (0, 0)
    turned: bool = False
    most: int | None = None
    few: tuple[int, ...] = ()
    shorter: tuple[int, int] = (0, 0)
    leans: tuple[int, int] = (0, 0)

    def leaning(self, *, low_end: bool, high_end: bool) -> tuple[int, int]:
        """How the two ends of a piece lean as it lies in its stick."""
        low, high = self.leans[0] * low_end, self.leans[1] * high_end
        return (high, low) if self.turned else (low, high)

    def at_few(self, used: Set[int]) -> JointRun:
        """With its few stations where it has such, and with those of all that are `used`."""
        if not self.few:
            return self
        return replace(self, stations=tuple(sorted({*self.few, *(used & {*self.stations})})))

    def shorter_by(self, *, low_end: bool, high_end: bool) -> int:
        """By how much a piece with these ends of the run counts as shorter than it is cut."""
        return self.shorter[0] * low_end + self.shorter[1] * high_end

    def least(self, length: int, *, low_end: bool = True, high_end: bool = True) -> int:
        """The length of stick that a piece cut to `length` takes at least, however it nests."""
        low, high = self.mitres
        return max(1, length - low * low_end - high * high_end)


@dataclass(frozen=True, slots=True)
class Cut:
    """One piece of a run, between two stations."""

    low: int
    high: int
    need: Need


@dataclass(frozen=True, slots=True)
class Blocked:
    """A stack without a legal layout: whether that is proved, and where the search stopped."""

    stack: int
    run: int
    proved: bool


Together = tuple[tuple[int, int], ...]
"""Pieces ripped side by side from one board, the longest first: run number, number in the run."""


@dataclass(frozen=True, slots=True)
class Jointed:
    """Pieces run by run, and the plan that cuts them.

    Of pieces that come from one board `together`, the plan has the longest only. `as_you_go` is
    the same job laid and cut in order (8.10); None where that cannot be.
    """

    cuts: tuple[tuple[Cut, ...], ...]
    plan: Plan
    together: tuple[Together, ...] = ()
    as_you_go: Jointed | None = None

    @property
    def joints(self) -> int:
        """How many field joints there are: one less in a run than it has pieces."""
        return sum(max(0, len(own) - 1) for own in self.cuts)
