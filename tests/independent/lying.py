"""How a board lies at the saw: face up, its far edge away, never turned over."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

Row = Mapping[str, Any]


def begins_high(answer: Row, piece: Row) -> bool:
    """Whether the course of a piece was laid from the high side: its board lies half round."""
    place = (piece["surface"], piece["layer"], piece["course"])
    (course,) = (
        row for row in answer["courses"] if (row["surface"], row["layer"], row["course"]) == place
    )
    return bool(course["near"] > course["far"])


def is_left_handed(layer: Row) -> bool:
    """Whether stations across rise to the right of those along, as of boards that stand.

    The low end of a board is the right one then, if it does not lie half round.
    """
    (ax, ay), (cx, cy) = layer["along"], layer["across"]
    return bool(ax * cy - ay * cx < 0)


def layer_of(answer: Row, piece: Row) -> Row:
    """What is told of the layer of a piece."""
    place = (piece["surface"], piece["layer"])
    layer: Row
    (layer,) = (row for row in answer["layers"] if (row["surface"], row["layer"]) == place)
    return layer
