"""`make bench BASE=<commit>`: the same jobs asked in turn of this checkout and of another commit.

Each checkout answers in a process of its own, so the two share the machine's weather; a factor is
the least processor time there over the least here. Costs stand beside the times: what became
faster must not have become dearer.
"""

from __future__ import annotations

import json
import math
import subprocess
import sys
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from service.demo import ROOT
from tests.benchmark.jobs import FAMILIES, HALLS, Job, awkward, drawn, usual

ROUNDS = 4

BARE = {"joint_cost": 0, "most_joints": None, "backing": "none"}
"""Rules by which a plan is chosen for its material alone, with nothing reckoned behind it."""

ANSWERS = """
import gc, json, os, sys, time
from service.compute import answer
told = os.fdopen(os.dup(1), "w", buffering=1)
os.dup2(2, 1)
for line in sys.stdin:
    job = json.loads(line)
    while True:
        start = time.process_time()
        found = answer(json.dumps(job).encode())
        spent = time.process_time() - start
        made = json.loads(found.body)
        if found.kind != "ShapeRefused":
            break
        for fault in made["faults"]:
            assert fault["code"] == "extra-forbidden", fault
            *way, key = fault["pointer"].split("/")[1:]
            at = job
            for one in way:
                at = at[int(one) if isinstance(at, list) else one]
            del at[key]
    plans = [[one["cost"], one["bound"]] for one in made.get("cut_plans", [])]
    print(json.dumps([spent, found.kind, plans]), file=told)
    if gc.get_threshold()[0] < 50_000:
        gc.collect()
        gc.freeze()
        gc.set_threshold(50_000, 20, 50)
"""
"""What each process runs: a request a line, its processor time and the cost of its plans back.

What a version does not know of a request is left out for it; what a library prints goes elsewhere.
Once warm, rubbish is looked for as seldom as in a compute process.
"""


@dataclass(frozen=True, slots=True)
class Told:
    """What one checkout says of one job: seconds, and sums of costs and of bounds."""

    seconds: float
    cost: float
    bound: float


@dataclass(frozen=True, slots=True)
class Row:
    """One job, there and here."""

    job: str
    there: Told
    here: Told

    @property
    def factor(self) -> float:
        """How many times cheaper it is here."""
        return self.there.seconds / self.here.seconds

    @property
    def dearer(self) -> float:
        """By how much the plans here cost more, in per cent."""
        return 100 * (self.here.cost / self.there.cost - 1)

    @property
    def gap(self) -> float:
        """How far the plans here may be over the best, in per cent of their cost."""
        return 100 * (1 - self.here.bound / self.here.cost)


class Asked:
    """A process of one checkout that answers jobs."""

    def __init__(self, checkout: Path) -> None:
        """Start it in that folder."""
        self._process = subprocess.Popen(
            [sys.executable, "-c", ANSWERS], cwd=checkout, text=True, bufsize=1,
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL,
        )  # fmt: skip

    def __call__(self, job: Job, rules: Mapping[str, Any]) -> Told:
        """Its answer under these rules."""
        own = job | {"rules": job.get("rules", {}) | rules}
        assert self._process.stdin is not None
        assert self._process.stdout is not None
        self._process.stdin.write(json.dumps(own) + "\n")
        seconds, kind, plans = json.loads(self._process.stdout.readline())
        assert kind == "answer", kind
        return Told(seconds, math.fsum(c for c, _ in plans), math.fsum(b for _, b in plans))

    def stop(self) -> None:
        """End it."""
        self._process.terminate()
        self._process.wait(10)


@contextmanager
def checkout_of(commit: str) -> Iterator[Path]:
    """The files of a commit in a folder of their own."""
    with TemporaryDirectory() as folder:
        packed = subprocess.run(
            ["git", "archive", commit], cwd=ROOT, check=True, stdout=subprocess.PIPE
        )
        subprocess.run(["tar", "-x", "-C", folder], input=packed.stdout, check=True)
        yield Path(folder)


@contextmanager
def asked(checkout: Path) -> Iterator[Asked]:
    """A process of a checkout, ended afterwards."""
    process = Asked(checkout)
    try:
        yield process
    finally:
        process.stop()


def compared(base: str, jobs: Mapping[str, Job], rules: Mapping[str, Any]) -> Iterator[Row]:
    """Each job asked there and here in turn, once to warm up and then the best of some rounds."""
    with checkout_of(base) as folder, asked(folder) as old, asked(ROOT) as new:
        for name, job in jobs.items():
            old(job, rules), new(job, rules)
            turns = [(old(job, rules), new(job, rules)) for _ in range(ROUNDS)]
            there, here = (
                min(tells, key=lambda told: told.seconds) for tells in zip(*turns, strict=True)
            )
            yield Row(name, there, here)


def mean(factors: list[float]) -> float:
    """The geometric mean."""
    return math.exp(math.fsum(map(math.log, factors)) / len(factors))


def growth(rows: Mapping[str, Row], names: Mapping[str, float]) -> float:
    """The exponent of processor time over a measure, from the least to the greatest of a family."""
    (low, small), (high, large) = (
        pick(names.items(), key=lambda one: one[1]) for pick in (min, max)
    )
    return math.log(rows[high].here.seconds / rows[low].here.seconds) / math.log(large / small)


def exponents(rows: Mapping[str, Row]) -> Iterator[tuple[str, float]]:
    """The growth of each family that has a measure above zero."""
    yield "halls, by area", growth(rows, {name: a * b for name, (a, b) in HALLS.items()})
    for family, jobs in FAMILIES.items():
        if min(jobs) > 0:
            yield family, growth(rows, {f"{family}: {count}": count for count in jobs})


def show(base: str) -> None:
    """Print the tables: plans chosen for their material alone, then with the usual rules."""
    for title, rules in (("material alone", BARE), ("usual rules", {})):
        print(f"\n{title}: processor time in {base} and in this checkout")
        print(
            f"{'job':45} {'there ms':>9} {'here ms':>9} {'factor':>7} {'dearer %':>9} {'gap %':>6}"
        )
        rows = {}
        for row in compared(base, usual() | awkward() | drawn(), rules):
            rows[row.job] = row
            times = f"{row.there.seconds * 1e3:9.1f} {row.here.seconds * 1e3:9.1f}"
            print(f"{row.job:45} {times} {row.factor:7.2f} {row.dearer:9.4f} {row.gap:6.2f}")
        _sums("all", list(rows.values()))
        _sums("drawn rooms", [rows[job] for job in drawn()])
        for family, exponent in exponents(rows):
            print(f"growth, {family}: exponent {exponent:.2f}")


def _sums(name: str, rows: list[Row]) -> None:
    """Print the mean factor of some jobs, and what became dearer of them."""
    factor = mean([row.factor for row in rows])
    dearer = math.fsum(row.dearer for row in rows) / len(rows)
    worst = max(row.dearer for row in rows)
    print(f"{name}: factor {factor:.2f}; dearer by {dearer:.4f} %, the worst by {worst:.4f} %")
