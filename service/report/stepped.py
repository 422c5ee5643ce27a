"""Names whose numbers rise by equal steps, on paper: the first two and the last of each row."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

FEWEST: Final = 4
"""Names at the least that are not all written."""

_NAME: Final = re.compile(r"(|.*\.)(\d+)((?:\.\d+){2})")
"""A piece by its label alone, or behind its surface and layer; the number of its course."""


def stepped(names: Sequence[str]) -> str:
    """`1.1.1, 5.1.1 ... 45.1.1`: names in their order, those four courses apart as one row.

    Fewer than `FEWEST` at equal steps are written one after another, as are names of another form.
    """
    found, k = list[str](), 0
    while k < len(names):
        own = _row(names[k:])
        found.append(f"{own[0]}, {own[1]} ... {own[-1]}" if len(own) >= FEWEST else names[k])
        k += len(own) if len(own) >= FEWEST else 1
    return ", ".join(found)


def _row(names: Sequence[str]) -> Sequence[str]:
    """As many of the first names as rise by the step from the first to the second."""
    parts = [_NAME.fullmatch(name) for name in names]
    if len(names) < FEWEST or parts[0] is None or parts[1] is None:
        return names[:1]
    first, step = int(parts[0][2]), int(parts[1][2]) - int(parts[0][2])
    for k, part in enumerate(parts):
        alike = part is not None and (part[1], part[3]) == (parts[0][1], parts[0][3])
        if part is None or not alike or step <= 0 or int(part[2]) != first + k * step:
            return names[: max(1, k)]
    return names
