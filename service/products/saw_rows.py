"""Rows of what is done to a piece at the saw: rips, angles, notches and holes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import radians, tan
from typing import Annotated, Literal, TypeAlias

from service.geometry.ends import End
from service.geometry.saw_lines import CLOSE
from service.schemas.columns import PLAIN, Degrees, Flag, Length
from service.units.ticks import whole

WorkedEdge: TypeAlias = Literal["groove", "tongue", "near", "far", "both", "back", "front", "none"]


@dataclass(frozen=True, slots=True, kw_only=True)
class SawRow:
    """One thing that is done to a piece once it is cut to length.

    The piece lies face up with its far edge, that of the tongue, away: so left and right are its
    own, wherever it is laid. Widths and depths are of its face, without tongue or lap. The hands of
    trim are those of `trim_lengths`.
    """

    do: Annotated[
        Literal["rip", "angle", "cope", "scarf", "bevel", "notch", "hole", "shape"],
        PLAIN,
        "A shape is an edge or an end that is no straight cut: `shape` of the piece has its line. "
        "A cope follows the profile that its angle shows; a scarf, and the bevel of a mitre round "
        "a corner of walls or of a beam's side, go through the thickness.",
    ]
    edge: Annotated[
        WorkedEdge,
        PLAIN,
        "The edge that is ripped or notched, or on which an angle has its long point: by its "
        "joint, or by its side where it has none; of trim its back edge, against the wall or the "
        "opening, or its front; of a scarf its back or its face; the front of a bevel is its face.",
    ] = "none"
    end: Annotated[
        Literal["left", "right", "none"], PLAIN, "The end that is cut to an angle or a shape."
    ] = "none"
    from_left: Annotated[
        Length | None, "From the left end, long point, to where a rip, notch or hole begins."
    ] = None
    length: Annotated[
        Length | None, "How long that is; of an angle from its long point to its short one."
    ] = None
    from_edge: Annotated[
        Length | None,
        "Of a notch or hole: from the near edge of the piece, as it is ripped, to where it begins.",
    ] = None
    depth: Annotated[Length | None, "Of a notch or hole: across the piece, from its edge."] = None
    widths: Annotated[
        tuple[Length, ...],
        "What a rip leaves of the face, at its left and at its right end: alike where it does not "
        "taper.",
    ] = ()
    angle: Annotated[
        Degrees | None,
        "Degrees off square, under 90: of an end across the face, of a rip at the edges that it "
        "names, long point at the face, of a bevel or a scarf through the thickness.",
    ] = None
    to_line: Annotated[
        Flag, "Whether less than the whole box of a notch or hole is cut: to its line in `shape`."
    ] = False


def told_bevels(rows: Iterable[SawRow]) -> tuple[str, ...]:
    """What the page of a layer says of its bevels, one sentence for all that are alike."""
    angles = sorted({row.angle for row in rows if row.angle and row.do in ("bevel", "rip")})
    return tuple(
        f"Along the corner {angle:.4g} degrees through the thickness, long point at the face"
        for angle in angles
    )


def bevelled_ends(angles: tuple[float, float], thickness: int) -> Iterator[SawRow]:
    """The bevels of the left and of the right end, degrees off square; none of one that is 0."""
    sides: tuple[Literal["left", "right"], ...] = ("left", "right")
    for end, angle in zip(sides, angles, strict=True):
        if angle:
            deep = whole(thickness * tan(radians(angle)))
            yield SawRow(do="bevel", end=end, edge="front", length=deep, angle=angle)


def angled_ends(ends: tuple[End, End], edges: tuple[WorkedEdge, WorkedEdge]) -> Iterator[SawRow]:
    """The cuts of the left and the right end that are not square, by what the edges are called."""
    sides: tuple[Literal["left", "right"], ...] = ("left", "right")
    for side, end in zip(sides, ends, strict=True):
        if end.angle is None:
            yield SawRow(do="shape", end=side)
        elif abs(end.long - end.short) > CLOSE:
            yield SawRow(
                do="angle",
                end=side,
                edge=edges[end.angle > 0],
                length=abs(end.long - end.short),
                angle=abs(end.angle),
            )
