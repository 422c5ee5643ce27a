"""Solve the instances of a folder and drawn jobs, verify every plan, print and write the table.

`--data` is a folder with files of the four names of `tests/reference/cutting`. Work is limited by
the named effort alone, so costs and bounds are the same on any machine; times are processor time.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable, Iterator
from dataclasses import asdict
from functools import partial
from pathlib import Path

from service.cutting.effort import EFFORTS
from service.demo import OUT
from tests.benchmark.cutting import drawn, drawn_courses, nesting, reading
from tests.benchmark.cutting.scores import Score, show, table
from tests.benchmark.cutting.solving import cut, laid

DATA = Path(__file__).parents[2] / "reference/cutting"

Run = Callable[[], Score]


def runs(data: Path, seed: int, effort: str) -> Iterator[tuple[str, Run]]:
    """Every job: the file that it belongs to, and the call that solves it."""
    yield from _of_files(data, effort)
    for size in drawn.SIZES:
        for job in drawn.drawn(size, seed):
            yield "drawn sticks", partial(cut, "drawn sticks", job, effort)
    for group in drawn_courses.OUTLINES:
        for room in drawn_courses.drawn(group, seed):
            yield "drawn courses", partial(laid, "drawn courses", room, effort)
    for hall in drawn_courses.halls():
        yield "first layout", partial(laid, "first layout", hall, "quick")
    yield from nesting.runs(data, seed, effort)


def _of_files(data: Path, effort: str) -> Iterator[tuple[str, Run]]:
    for job in reading.published(data):
        yield reading.PUBLISHED, partial(cut, reading.PUBLISHED, job, effort)
    for job in reading.multistock(data):
        yield reading.MULTISTOCK, partial(cut, reading.MULTISTOCK, job, effort)
    for room in reading.layouts(data):
        yield reading.COURSES, partial(laid, reading.COURSES, room, effort)


def asked() -> argparse.Namespace:
    """The command line."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--data", type=Path, default=DATA)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--effort", choices=sorted(EFFORTS), default="standard")
    parser.add_argument("--only", default="", help="only the files whose name starts so")
    parser.add_argument("--jobs", action="store_true", help="print every job too")
    return parser.parse_args()


def written(scores: list[Score], options: argparse.Namespace) -> None:
    """Write the table and every job to .build/bench-cutting.json."""
    OUT.mkdir(exist_ok=True)
    made = {
        "data": str(options.data),
        "seed": options.seed,
        "effort": options.effort,
        "table": table(scores),
        "jobs": [asdict(score) | {"gap": score.gap, "over": score.over} for score in scores],
    }
    (OUT / "bench-cutting.json").write_text(json.dumps(made, indent=1) + "\n")


def main() -> int:
    """Run everything; the exit code tells whether every plan was sound."""
    options = asked()
    scores = []
    for file, run in runs(options.data, options.seed, options.effort):
        if not file.startswith(options.only):
            continue
        scores.append(run())
        if options.jobs or scores[-1].faults:
            print(scores[-1], flush=True)
    show(table(scores))
    left = nesting.left_out(options.data)
    if left:
        print(f"left out, being other problems (turned parts, two stages only): {len(left)} rows")
    written(scores, options)
    return int(any(score.faults for score in scores))


if __name__ == "__main__":
    sys.exit(main())
