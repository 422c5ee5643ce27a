"""What is done to a piece at the saw, in the words of a cut list: in short, and as a setting."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from service.report.printout.lengths import Lengths, plain
from service.report.printout.rows import Row
from service.units.folding import folded

OUT_OF_SQUARE: Final = 1.0
"""Degrees under which an end is told by how far it is out of square, not by an angle: no saw is set
to a part of a degree."""


def in_short(piece: Row, lengths: Lengths) -> str:
    """What is done, as it stands behind a length in the cut list: `rip to 4-1/2"`, `45 deg left`.

    Empty where it is but cut to length.
    """
    rips = [_rip(row, piece, lengths) for row in piece["work"] if row["do"] == "rip"]
    boxes = [_box(row, lengths) for row in piece["work"] if row["do"] in ("notch", "hole")]
    shapes = [_shape(row) for row in piece["work"] if row["do"] == "shape"]
    fitted = [_fitted(row) for row in piece["work"] if row["do"] in _FITTED]
    return ", ".join([*rips, *_angles_in_short(piece, lengths), *fitted, *boxes, *shapes])


def _rip(row: Row, piece: Row, lengths: Lengths) -> str:
    """`rip to 4-1/2"`, `rip 4-1/8" to 3-1/16"`; over what length where it is not all of it."""
    low, high = map(lengths.width, row["widths"])
    text = f"rip to {low}" if low == high else f"rip {low} to {high}"
    if row["angle"]:
        text += f", {plain(row['angle'], 1)} deg"
    return text if _is_all(row, piece) else f"{text} over {lengths.station(row['length'])}"


def _is_all(row: Row, piece: Row) -> bool:
    """Whether something is done from end to end."""
    return bool(row["length"] >= piece["to"] - piece["from"] - _HAIR)


def _box(row: Row, lengths: Lengths) -> str:
    """A notch or hole: how deep, and how long."""
    return f"{row['do']} {lengths.width(row['depth'])} x {lengths.piece(row['length'])}"


def _shape(row: Row) -> str:
    if row["end"] != "none":
        return f"{row['end']} end to its line"
    return f"{_edge(row)} to its line" if row["edge"] != "none" else "to its shape"


def _fitted(row: Row) -> str:
    """`cope left`, `bevel right 45 deg`: a saw is set to a bevel, a cope follows its profile."""
    text = f"{row['do']} {row['end']}"
    return f"{text} {plain(row['angle'], 1)} deg" if row["do"] == "bevel" else text


def _angles_in_short(piece: Row, lengths: Lengths) -> list[str]:
    """The angles of both ends at once where they are alike."""
    told = {row["end"]: _angle(row, lengths) for row in piece["work"] if row["do"] == "angle"}
    if len(told) == 2 and len(set(told.values())) == 1:
        return [f"{told['left']} both ends"]
    return [f"{angle} {end}" for end, angle in told.items()]


def _angle(row: Row, lengths: Lengths) -> str:
    if row["angle"] < OUT_OF_SQUARE:
        return f"{lengths.width(row['length'])} out of square"
    return f"{plain(row['angle'], 1)} deg{_LONG.get(row['edge'], '')}"


_LONG: Final = {"back": " long at the back", "front": " long at the front"}
"""An inside and an outside mitre of trim have one angle: its long point tells them apart."""

_FITTED: Final = ("cope", "scarf", "bevel")
"""What is done to an end of trim, or of a board on its edge, beside cutting it to length."""


@dataclass(frozen=True, slots=True)
class SawSetting:
    """What a saw is set to, in words; `place` is its place among others, fence before angle."""

    place: tuple[int, float]
    text: str
    is_angle: bool = False


_SAWS: Final = ("rip", "angle", "scarf", "bevel", "cope", "notch", "hole", "shape")
"""The fence first, then angles, then what is cut by hand."""


def settings(piece: Row, lengths: Lengths) -> list[SawSetting]:
    """Each setting that a piece needs, the widest rip first; both its angles are one."""
    made = [
        SawSetting(
            (_SAWS.index(row["do"]), -max(row["widths"], default=0.0)),
            _set_for(row, piece, lengths),
        )
        for row in piece["work"]
        if row["do"] != "angle"
    ]
    angles = [row for row in piece["work"] if row["do"] == "angle"]
    if angles:
        text = _set_for_angles(angles, lengths)
        made.append(SawSetting((_SAWS.index("angle"), 0.0), text, is_angle=True))
    return made


def _set_for(row: Row, piece: Row, lengths: Lengths) -> str:
    if row["do"] == "shape":
        return f"cut {_shape(row)}, see the drawing"
    if row["do"] == "rip":
        return _set_for_rip(row, piece, lengths)
    if row["do"] in _FITTED:
        return _set_for_fitting(row)
    if row["do"] == "hole":
        where = f"{lengths.width(row['from_edge'])} from the near edge"
    else:
        where = f"in the {_edge(row)}"
    text = f"{_box(row, lengths)} {where}, {_place(row, piece, lengths)}"
    return f"{text}, to the line inside it" if row["to_line"] else text


def _set_for_fitting(row: Row) -> str:
    """A cope, or a scarf or bevel: which of its faces has the long point."""
    angle = f"{plain(row['angle'], 1)} deg"
    if row["do"] == "cope":
        return f"cope {row['end']} end: cut {angle}, long point at the back, then along the profile"
    face = "back" if row["edge"] == "back" else "face"
    return f"{row['do']} {row['end']} end {angle} through the thickness, long point at the {face}"


def _set_for_rip(row: Row, piece: Row, lengths: Lengths) -> str:
    low, high = map(lengths.width, row["widths"])
    to = f"to {low}" if low == high else f"from {low} at the left to {high} at the right"
    whole = f"rip {_the_edge(row)} {to}"
    if row["angle"]:
        whole += f", the blade at {plain(row['angle'], 1)} degrees, long point at the face"
    if _is_all(row, piece):
        return whole
    return f"{whole}, {lengths.station(row['length'])} of it, {_place(row, piece, lengths)}"


def _place(row: Row, piece: Row, lengths: Lengths) -> str:
    """Where along the piece something begins."""
    if not row["from_left"]:
        return "at the left end"
    if row["from_left"] + row["length"] >= piece["to"] - piece["from"] - _HAIR:
        return "at the right end"
    return f"{lengths.station(row['from_left'])} from the left end"


_HAIR: Final = 1e-5
"""Figures are rounded to six decimals."""


def _set_for_angles(rows: Sequence[Row], lengths: Lengths) -> str:
    told = [_told_angle(row, lengths) for row in rows]
    if len(rows) == 2 and told[0] == told[1]:
        return f"both ends {told[0]}"
    return "; ".join(f"{row['end']} end {text}" for row, text in zip(rows, told, strict=True))


def _told_angle(row: Row, lengths: Lengths) -> str:
    if row["edge"] in _LONG:
        return _angle(row, lengths).replace(" long at", ", long point at")
    return f"{_angle(row, lengths)}, long point at the {_edge(row)}"


_EDGES: Final = {
    "back": "back edge",
    "front": "front edge",
    "groove": "groove edge",
    "tongue": "tongue edge",
    "near": "near edge",
    "far": "far edge",
    "both": "both edges",
}


def _edge(row: Row) -> str:
    return _EDGES[row["edge"]]


def _the_edge(row: Row) -> str:
    return _edge(row) if row["edge"] == "both" else f"the {_edge(row)}"


def short_points(piece: Row) -> list[float]:
    """How long the near and the far edge are between the angles; none of a piece without."""
    angles = [row for row in piece["work"] if row["do"] == "angle"]
    if not angles:
        return []
    long_far = [row["length"] for row in angles if row["edge"] in ("tongue", "far")]
    long_near = [row["length"] for row in angles if row["edge"] in ("groove", "near")]
    return [max(0.0, piece["length"] - folded(one)) for one in (long_far, long_near)]
