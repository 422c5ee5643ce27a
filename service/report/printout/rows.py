"""Rows of an answer, and those of one layer or surface among them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, TypeAlias

Row: TypeAlias = Mapping[str, Any]
"""A row of a table, or a whole answer: members by their names."""


def is_of(row: Row, layer: Row) -> bool:
    """Whether a row of any table belongs to a layer."""
    return bool((row["surface"], row["layer"]) == (layer["surface"], layer["layer"]))


def surface_of(answer: Row, layer: Row) -> Row:
    """The row of the surface that a layer lies on."""
    surface: Row
    (surface,) = (row for row in answer["surfaces"] if row["surface"] == layer["surface"])
    return surface
