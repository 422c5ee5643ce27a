"""What a section through the build-up shows: each layer cut across, and the fasteners driven."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True)
class Slice:
    """How a layer looks where it is cut across: how thick it is, and what it is called.

    A `look` of `panel` is one band and `film` is too thin to be drawn to scale; the others are
    boards, named by how an edge meets the next: a `tongue` in a groove, a `half` over a half, a
    board `over` the one before, or `butt`. `lap` is how far tongue or lap reaches.
    """

    look: Literal["tongue", "half", "over", "butt", "panel", "film"]
    thickness: int
    name: str
    lap: int = 0


@dataclass(frozen=True, slots=True)
class Driven:
    """A fastener in a section: the layer that it fastens, and how it is driven.

    `length`, the shank's `hold` and its point's `depth` square to the face are in ticks, `lean`
    in degrees from square. `place` says where on the board it is driven ('blind', 'face'), and
    `entry` how far from the board's back it enters.
    """

    layer: str
    place: str
    product: str
    length: int
    hold: int
    depth: int
    entry: int
    lean: float = 0.0


@dataclass(frozen=True, slots=True)
class Section:
    """A cut through the build-up: the shim on the member, panels that stand, the fasteners.

    `also` are other surfaces that are built up alike.
    """

    shim: int
    backing: int
    fasteners: tuple[Driven, ...]
    also: tuple[str, ...] = ()
