"""Names of pieces on paper, course after course in one, and those at equal steps."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Final, TypeAlias

FEWEST_IN_A_RANGE: Final = 3
FEWEST_IN_STEPS: Final = 4
"""So many that follow each other, or that stand at equal steps, are not all written."""

_LABEL: Final = re.compile(r"(|.*\.)(\d+)(\.\d+[a-z]?\.\d+)")
"""A piece by its label alone, or behind surface and layer; the number of its course, or beam."""

_SIGNS: Final = re.compile(r"( \+ |/|\+)")
"""What stands between pieces of one stick, of one board, or of one length of trim."""

_Place: TypeAlias = tuple[tuple[str, str, int], ...]
"""Each piece of a name: what stands before and behind its number, and how far that is from the
first's."""


def in_ranges(names: Sequence[str]) -> list[str]:
    """Names of pieces in their order, those that follow each other by the first and the last.

    `22.1.1 to 46.1.1` is piece 1 of run 1 of each course from 22 to 46, and `3.1.1, 7.1.1 ...
    23.1.1` that of each fourth one. Where pieces are named together, brackets hold them:
    `(1.1.1 + 1.2.1) to (9.1.1 + 9.2.1)`.
    """
    found: list[str] = []
    known = {name: _parsed(name) for name in names}
    told = sorted((one, name) for name in names if (one := known[name]) is not None)
    for _, alike in groupby(told, key=lambda pair: pair[0][:2]):
        found += _one_after_another([(number, name) for (_, _, number), name in alike])
    return found + sorted(name for name in names if known[name] is None)


def _parsed(name: str) -> tuple[_Place, tuple[str, ...], int] | None:
    """Places and signs, and the number of the first piece; None of a name of another form."""
    parts = _SIGNS.split(name)
    labels = [_LABEL.fullmatch(part) for part in parts[::2]]
    told = [label for label in labels if label is not None]
    if len(told) < len(labels):
        return None
    first = int(told[0][2])
    places = tuple((one[1], one[3], int(one[2]) - first) for one in told)
    return places, tuple(parts[1::2]), first


def _one_after_another(rows: Sequence[tuple[int, str]]) -> Iterator[str]:
    """Names of one place, by their numbers: as many as rise by one step, together."""
    k = 0
    while k < len(rows):
        step = rows[k + 1][0] - rows[k][0] if k + 1 < len(rows) else 0
        own = [name for _, name in rows[k : _end_of_row(rows, k, step)]]
        if step == 1 and len(own) >= FEWEST_IN_A_RANGE:
            yield f"{_held(own[0])} to {_held(own[-1])}"
        elif step > 1 and len(own) >= FEWEST_IN_STEPS:
            yield f"{_held(own[0])}, {_held(own[1])} ... {_held(own[-1])}"
        else:
            own = own[:1]
            yield own[0]
        k += len(own)


def _end_of_row(rows: Sequence[tuple[int, str]], start: int, step: int) -> int:
    """Behind the last that stands at equal steps from `start` on."""
    first = rows[start][0]
    places = range(start, len(rows))
    return next((k for k in places if rows[k][0] != first + (k - start) * step), len(rows))


def _held(name: str) -> str:
    """In brackets where it names several pieces."""
    return f"({name})" if _SIGNS.search(name) else name


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
