"""The quantities of requests that have a name in the document: each is stated there once."""

from __future__ import annotations

from functools import cache
from types import MappingProxyType
from typing import Any, Final

from pydantic import TypeAdapter

from service.schemas import bounds, described, moisture_values, quantities, surface, written
from service.schemas.published_json import PublishedSchema

_TYPES: Final = {
    "Point": quantities.Point,
    "Size": surface.Size,
    "Box": surface.Box,
    "Disc": surface.Disc,
    "Ring": surface.Ring,
    "Length": quantities.Length,
    "LengthOrZero": quantities.LengthOrZero,
    "Bearing": bounds.Bearing,
    "Margin": bounds.Margin,
    "Reach": bounds.Reach,
    "Spacing": bounds.Spacing,
    "Density": quantities.Density,
    "Price": quantities.Price,
    "Temperature": moisture_values.Temperature,
    "Percent": quantities.Percent,
    "Degrees": quantities.Degrees,
    "Lean": quantities.Lean,
    "Positive": quantities.Positive,
    "Name": quantities.Name,
    "Word": described.Word,
}


@cache
def named_schemas() -> MappingProxyType[str, dict[str, Any]]:
    """The schema of each by its name; those that others are made of stand behind them."""
    found = {name: _schema(shape) for name, shape in _TYPES.items()}
    parts: dict[str, dict[str, Any]] = {
        "Coordinate": quantities.COORDINATE,
        "WrittenLength": written.WRITTEN,
    }
    return MappingProxyType({**found, **parts})


def _schema(shape: Any) -> dict[str, Any]:
    return TypeAdapter(shape).json_schema(schema_generator=PublishedSchema)
