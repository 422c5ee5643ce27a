"""What one run gave, and the table over many: shares, gaps and processor time."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from statistics import fmean, median
from typing import Any

WITHIN = (0.1, 0.25, 0.5, 1.0, 2.0)


@dataclass(frozen=True)
class Score:
    """One job solved: cost, the plan's own bound, what is known before, processor time."""

    file: str
    group: str
    name: str
    cost: int
    bound: int
    optimum: int | None
    seconds: float
    faults: tuple[str, ...] = ()

    @property
    def reference(self) -> int:
        """What the cost is measured against: the known optimum, or else the plan's own bound."""
        return self.bound if self.optimum is None else self.optimum

    @property
    def gap(self) -> float:
        """Per cent over the reference."""
        return 100 * (self.cost - self.reference) / max(self.reference, 1)

    @property
    def proved(self) -> bool:
        """Whether the plan proves itself optimal."""
        return self.cost <= self.bound


def table(scores: Iterable[Score]) -> list[dict[str, Any]]:
    """One row for each file and class, in the order of the files."""
    groups: dict[tuple[str, str], list[Score]] = defaultdict(list)
    for score in scores:
        groups[score.file, score.group].append(score)
        groups[score.file, "all"].append(score)
    kept = {
        key: own
        for key, own in groups.items()
        if key[1] != "all" or sum(name == key[0] for name, _ in groups) > 2
    }
    return [_row(*key, own) for key, own in sorted(kept.items(), key=lambda one: one[0])]


def _row(file: str, group: str, own: Sequence[Score]) -> dict[str, Any]:
    times = sorted(score.seconds * 1e3 for score in own)
    return {
        "file": file,
        "class": group,
        "jobs": len(own),
        "optimum": _share(score.cost <= score.reference for score in own),
        "plus_1": _share(score.cost <= score.reference + 1 for score in own),
        **{f"within_{w}": _share(score.gap <= w for score in own) for w in WITHIN},
        "mean_gap": round(fmean(score.gap for score in own), 4),
        "worst_gap": round(max(score.gap for score in own), 4),
        "proved": _share(score.proved for score in own),
        "proved_50ms": _share(score.proved and score.seconds <= 0.05 for score in own),
        "median_ms": round(median(times), 1),
        "p95_ms": round(times[min(len(times) - 1, int(0.95 * len(times)))], 1),
        "max_ms": round(times[-1], 1),
    }


def _share(hits: Iterable[bool]) -> float:
    found = list(hits)
    return round(100 * sum(found) / len(found), 1)


def show(rows: Sequence[dict[str, Any]]) -> None:
    """The table, one line for each class."""
    names = list(rows[0])
    cells = [names, *[[str(row[name]) for name in names] for row in rows]]
    widths = [max(len(line[k]) for line in cells) for k in range(len(names))]
    for line in cells:
        print("  ".join(cell.ljust(width) for cell, width in zip(line, widths, strict=True)))
