"""Names of pieces on paper, course after course in one."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any, Final

FEWEST_IN_A_RANGE: Final = 3

_LABEL: Final = re.compile(r"(|.*\.)(\d+)\.(\d+\.\d+)")
"""A piece by its label alone, or behind its surface and layer."""


def in_ranges(names: Sequence[str]) -> list[str]:
    """Names of pieces in their order, three or more courses on end by the first and the last.

    `22.1.1 to 46.1.1` is piece 1 of run 1 of each course from 22 to 46.
    """
    found: list[list[str]] = []
    for name in sorted(names, key=_by_course):
        if found and _next_course(found[-1][-1]) == name:
            found[-1].append(name)
        else:
            found.append([name])
    return [
        text
        for own in found
        for text in ([f"{own[0]} to {own[-1]}"] if len(own) >= FEWEST_IN_A_RANGE else own)
    ]


def in_runs(numbers: Sequence[int]) -> str:
    """Numbers in their order, three or more that follow each other as `1 to 4`."""
    found: list[list[int]] = []
    for number in sorted(numbers):
        if found and found[-1][-1] == number - 1:
            found[-1].append(number)
        else:
            found.append([number])
    return ", ".join(
        f"{one[0]} to {one[-1]}" if len(one) >= FEWEST_IN_A_RANGE else ", ".join(map(str, one))
        for one in found
    )


def _by_course(name: str) -> tuple[Any, ...]:
    """So that pieces of one place in course after course stand together."""
    label = _LABEL.fullmatch(name)
    return (1, name) if label is None else (0, label[1], label[3], int(label[2]))


def _next_course(name: str) -> str | None:
    """The piece of the same place in the next course."""
    label = _LABEL.fullmatch(name)
    return None if label is None else f"{label[1]}{int(label[2]) + 1}.{label[3]}"
