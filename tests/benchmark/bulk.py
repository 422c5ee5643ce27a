"""`make bench-bulk`: what a bulk run costs, on one process, on two, and on a Dask cluster of two.

ROOMS=5000 drawn porches; of them 500 on one process and then on two. Each figure is beside the load
of the machine; processor time is that of the run and of all that work for it. Answers of all runs
must be the same bytes. Writes `.build/bulk.json`.
"""

from __future__ import annotations

import argparse
import json
import os
import statistics
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import asdict, dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from distributed import LocalCluster

from tests.benchmark.jobs import drawn_porch
from tests.strategies.killing import descendants

ROOT = Path(__file__).parents[2]
FEW = 500
MANY = 1_000_000


@dataclass
class Cost:
    """One run from its first answers on: rooms, seconds, processor time, memory over time, load.

    `processor` is what the workers took for all rooms of the run, as it says itself; `giver` what
    the process took that gives out the work and writes.
    """

    what: str
    rooms: int
    seconds: float
    processor: float
    giver: float
    megabytes: list[float]
    answers_megabytes: float
    load: float

    @property
    def rate(self) -> float:
        """Rooms a second."""
        return self.rooms / self.seconds

    def growth(self) -> float:
        """Median of the last quarter of the memory over that of the second, in MB."""
        quarter = max(1, len(self.megabytes) // 4)
        early, late = self.megabytes[quarter : 2 * quarter], self.megabytes[-quarter:]
        return statistics.median(late) - statistics.median(early) if early else 0.0


def memory(process: int) -> float:
    """Proportional resident size of a process and its descendants, in MB."""
    return sum(_kilobytes(one) for one in [process, *descendants(process)]) / 1000


def _kilobytes(process: int) -> int:
    try:
        rows = Path(f"/proc/{process}/smaps_rollup").read_text().splitlines()
    except (FileNotFoundError, ProcessLookupError, PermissionError):
        return 0
    return next((int(row.split()[1]) for row in rows if row.startswith("Pss:")), 0)


def run(what: str, jobs: Path, out: Path, *more: str, beside: int = 0) -> Cost:
    """One bulk run; `beside` is a process whose descendants work for it."""
    command = [sys.executable, "-m", "service", "bulk", str(jobs), str(out), *more]
    load, sizes = os.getloadavg()[0], list[float]()
    process = subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True)
    while process.poll() is None and not (out.exists() and out.stat().st_size):
        time.sleep(0.02)
    began, had, before = time.monotonic(), _lines(out), _ticks(process.pid)
    giver = before
    while process.poll() is None:
        sizes.append(memory(process.pid) + (memory(beside) if beside else 0))
        giver = _ticks(process.pid) or giver
        time.sleep(0.5)
    seconds = time.monotonic() - began
    said = process.stdout.read() if process.stdout else ""
    assert process.returncode == 0, said
    print(said, file=sys.stderr)
    rooms = _lines(out)
    return Cost(
        what, rooms - had, seconds, said_seconds(said) * (rooms - had) / rooms, giver - before,
        sizes, out.stat().st_size / 1e6, load,
    )  # fmt: skip


def said_seconds(said: str) -> float:
    """Processor seconds of the workers, as the run says."""
    return float(said.rsplit("processor: ", 1)[1].split(" s", 1)[0].replace(",", ""))


def _lines(out: Path) -> int:
    with out.open("rb") as file:
        return sum(1 for _ in file)


def _ticks(process: int) -> float:
    try:
        parts = Path(f"/proc/{process}/stat").read_text().rsplit(")", 1)[1].split()
    except (FileNotFoundError, ProcessLookupError):
        return 0.0
    return (int(parts[11]) + int(parts[12])) / os.sysconf("SC_CLK_TCK")


@contextmanager
def cluster() -> Iterator[LocalCluster]:
    """A scheduler and two workers, each in a process of its own."""
    with LocalCluster(
        n_workers=2, threads_per_worker=1, host="127.0.0.1", dashboard_address=None
    ) as one:
        yield one


def measured(rooms: int, folder: Path) -> list[Cost]:
    """All runs, on the same drawn rooms."""
    lines = [json.dumps(drawn_porch(number)).encode() for number in range(rooms)]
    few, all_of = folder / "few.ndjson", folder / "all.ndjson"
    few.write_bytes(b"\n".join(lines[:FEW]) + b"\n")
    all_of.write_bytes(b"\n".join(lines) + b"\n")
    outs = [folder / f"{name}.ndjson" for name in ("one", "two", "whole", "cluster")]
    costs = [
        run("one process", few, outs[0], "--processes", "1"),
        run("two processes", few, outs[1], "--processes", "2"),
        run("two processes, all", all_of, outs[2], "--processes", "2"),
    ]
    with cluster() as there:
        address = there.scheduler_address
        costs.append(
            run("cluster of two, all", all_of, outs[3], "--scheduler", address, beside=os.getpid())
        )
    assert outs[0].read_bytes() == outs[1].read_bytes(), "one and two processes differ"
    assert _same(outs[2], outs[3]), "processes and cluster differ"
    assert outs[2].open("rb").read(outs[1].stat().st_size) == outs[1].read_bytes()
    return costs


def _same(one: Path, other: Path) -> bool:
    return subprocess.run(["cmp", "--silent", str(one), str(other)], check=False).returncode == 0


def on_paper(cores: int, each: float, giver: float) -> str:
    """How long a million take so many cores, as a row: of work, of the giver, of the scheduler.

    `each` is processor seconds of a worker for one, `giver` those of the process that gives out and
    writes. Chunks are as long as `service.bulk.cluster` makes them; a scheduler takes a millisecond
    for each (documentation of Dask.distributed, "Efficiency"). All three go on at once.
    """
    chunk = max(0.2, 0.002 * cores) / each
    parts = {
        "work": MANY * each / cores,
        "giving": MANY * giver,
        "scheduling": MANY / chunk * 0.001,
    }
    slowest = max(parts, key=parts.__getitem__)
    times = " | ".join(f"{seconds / 60:,.1f} min" for seconds in parts.values())
    return f"| {cores:,} | {times} | {parts[slowest] / 60:,.1f} min | {slowest} |"


def main() -> int:
    """Measure, print the table, write .build/bulk.json."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rooms", type=int, default=5_000)
    rooms = parser.parse_args().rooms
    with TemporaryDirectory() as folder:
        costs = measured(rooms, Path(folder))
    print("| run | rooms | seconds | rooms/s | processor, a room | giver, a room | memory at most "
          "| grown by | load before |\n|---|---|---|---|---|---|---|---|---|")  # fmt: skip
    for one in costs:
        print(
            f"| {one.what} | {one.rooms} | {one.seconds:.1f} | {one.rate:.1f} "
            f"| {1000 * one.processor / one.rooms:.1f} ms | {1000 * one.giver / one.rooms:.2f} ms "
            f"| {max(one.megabytes):.0f} MB | {one.growth():.1f} MB | {one.load:.1f} |"
        )
    one, there = costs[0], costs[3]
    each = one.processor / one.rooms
    print("\n| cores | work | giving | scheduling | a million take | held up by |\n"
          "|---|---|---|---|---|---|")  # fmt: skip
    for cores in (2, 32, 1_000):
        print(on_paper(cores, each, there.giver / there.rooms))
    print(f"two processes: {costs[1].rate / costs[0].rate:.2f} times one")
    (ROOT / ".build/bulk.json").write_text(json.dumps([asdict(one) for one in costs], indent=1))
    return 0


if __name__ == "__main__":
    sys.exit(main())
