"""What one run gave, and the table over many: shares, gaps and processor time."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from statistics import fmean, median
from typing import Any

WITHIN = (0.1, 0.25, 0.5, 1.0, 2.0)
SOON = 0.05
"""Seconds of processor time."""


@dataclass(frozen=True)
class Score:
    """One job solved: cost, the plan's own bound, what is known before, processor time.

    `floor` is a bound that is known before. `counted` says that costs count sticks or sheets.
    """

    file: str
    group: str
    name: str
    cost: int
    bound: int
    optimum: int | None
    seconds: float
    faults: tuple[str, ...] = ()
    floor: int = 0
    counted: bool = False

    @property
    def reference(self) -> int:
        """What the cost is measured against: the known optimum, or else the best bound."""
        return max(self.bound, self.floor) if self.optimum is None else self.optimum

    @property
    def over(self) -> float:
        """Per cent over the reference."""
        return _over(self.cost, self.reference)

    @property
    def gap(self) -> float:
        """Per cent over the plan's own bound: what it proves of itself."""
        return _over(self.cost, self.bound)

    @property
    def proved(self) -> bool:
        """Whether the plan proves itself optimal."""
        return self.cost <= self.bound


def _over(cost: int, least: int) -> float:
    return 100 * (cost - least) / max(least, 1)


def table(scores: Iterable[Score]) -> list[dict[str, Any]]:
    """One row for each file and class, and one for a file of several classes, by their names."""
    files: dict[str, dict[str, list[Score]]] = defaultdict(lambda: defaultdict(list))
    for score in scores:
        files[score.file][score.group].append(score)
    rows = []
    for file, groups in files.items():
        rows += [_row(file, group, own) for group, own in sorted(groups.items())]
        if len(groups) > 1:
            rows.append(_row(file, "all", [score for own in groups.values() for score in own]))
    return rows


def _row(file: str, group: str, own: Sequence[Score]) -> dict[str, Any]:
    """Shares are per cent of the jobs; `over_` is over the optimum or the best known bound."""
    times = sorted(score.seconds * 1e3 for score in own)
    known = [score for score in own if score.optimum is not None]
    counted = [score for score in own if score.counted]
    return {
        "file": file,
        "class": group,
        "jobs": len(own),
        "optimum": _share(score.cost == score.optimum for score in known),
        "plus_1": _share(score.cost <= score.reference + 1 for score in counted),
        "over_mean": round(fmean(score.over for score in own), 3),
        "over_worst": round(max(score.over for score in own), 3),
        **{f"gap_{w:g}": _share(score.gap <= w for score in own) for w in WITHIN},
        "gap_mean": round(fmean(score.gap for score in own), 3),
        "gap_worst": round(max(score.gap for score in own), 3),
        "proved": _share(score.proved for score in own),
        "in_50_ms": _share(score.proved and score.seconds <= SOON for score in own),
        "median_ms": round(median(times), 1),
        "p95_ms": round(times[min(len(times) - 1, int(0.95 * len(times)))], 1),
        "max_ms": round(times[-1], 1),
    }


def _share(hits: Iterable[bool]) -> float | None:
    """Per cent; None where nothing is counted."""
    found = list(hits)
    return round(100 * sum(found) / len(found), 1) if found else None


LEGEND = """\
optimum: per cent at the known optimum; plus_1: at most one stick or sheet over it, or over the
plan's own bound where none is known; over: per cent over the optimum or the best known bound;
gap_x: share within x % of the plan's own bound; proved, in_50_ms: share that proves itself optimal,
and in so much processor time."""


def show(rows: Sequence[dict[str, Any]]) -> None:
    """The table, one line for each class."""
    if not rows:
        print("no jobs")
        return
    names = list(rows[0])
    cells = [names, *[[_cell(row[name]) for name in names] for row in rows]]
    widths = [max(len(line[k]) for line in cells) for k in range(len(names))]
    for line in cells:
        left = [cell.ljust(width) for cell, width in zip(line[:2], widths[:2], strict=True)]
        right = [cell.rjust(width) for cell, width in zip(line[2:], widths[2:], strict=True)]
        print("  ".join([*left, *right]))
    print(LEGEND)


def _cell(value: object) -> str:
    return "-" if value is None else str(value)
