"""Bounds of a length: what a rule's sense asks for, enforced on the ticks and published."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Annotated, Any

from pydantic import ValidationInfo
from pydantic_core import core_schema

from service.schemas.quantities import length_of, length_schema, wrong
from service.schemas.written import read_length
from service.units.ticks import TICKS_PER_UNIT
from service.units.writing import told


@dataclass(frozen=True, slots=True)
class Within:
    """Both bounds of a length, themselves allowed, as the trade writes them: `"0 in", "1 in"`.

    Published are both in words, and as numbers what is true in whatever unit is declared: a least
    number that is so many metres, and a most that is so many millimetres.
    """

    least: str
    most: str

    @property
    def ticks(self) -> tuple[int, int]:
        """Both bounds in ticks."""
        return read_length(self.least), read_length(self.most)

    def __get_pydantic_core_schema__(self, source: Any, inner: Any) -> core_schema.CoreSchema:
        """How a length within the bounds is read. Read, it raises a fault that names them."""
        return core_schema.with_info_before_validator_function(self._read, inner(source))

    def __get_pydantic_json_schema__(self, schema: Any, inner: Any) -> dict[str, Any]:
        """How the bounds are published."""
        least, most = self.ticks
        return length_schema(
            f"From {_in_both(self.least)} to {_in_both(self.most)}: a number in the request's "
            "unit, or as the trade writes it.",
            minimum=_number(least, "m"),
            maximum=_number(most, "mm"),
        )

    def _read(self, value: Any, info: ValidationInfo) -> int:
        found = length_of(value, info)
        least, most = self.ticks
        is_under_zero = not isinstance(value, str) and value < 0
        if is_under_zero or not least <= found <= most:
            raise wrong(self._refusal(found, str(info.field_name), (info.context or {})["unit"]))
        return found

    def _refusal(self, found: int, name: str, unit: str) -> str:
        least, most = (told(ticks, unit) for ticks in self.ticks)
        return f"`{name}` must be from {least} to {most}: this is {told(found, unit)}"


def _in_both(written: str) -> str:
    """A bound in inches and in millimetres: `1 in (25.4 mm)`."""
    ticks = read_length(written)
    units = ("in", "mm") if "mm" not in written else ("mm", "in")
    first, second = (told(ticks, unit) for unit in units)
    return first if first == second else f"{first} ({second})"


def _number(ticks: int, unit: str) -> int | float:
    """A length as a number of `unit`."""
    number = Fraction(ticks, TICKS_PER_UNIT[unit])
    return int(number) if number.denominator == 1 else float(number)


Bearing = Annotated[int, Within("0 in", "2 ft")]
"""What lies on a member, or holds in it: no member is thicker, no fastener longer."""

Margin = Annotated[int, Within("0 in", "10 ft")]
"""A gap, or a width across boards and sheets: none is wider than the widest roll."""

Reach = Annotated[int, Within("0 in", "100 ft")]
"""A distance along boards and sheets: twice the longest that are made."""

Spacing = Annotated[int, Within("1/4 in", "100 ft")]
"""Fasteners, or rows of them, on centre: nearer, their shanks would touch."""
