"""`make bench`: each job beside the service's floor for a body of the same size, in one run.

The floor is the same service answering a body of the same size that it refuses without computing
(a sound JSON string of that length): receiving, handing over to the compute process and
answering. Also measured: processor time of the job alone, warm, and how it grows with the area.
"""

from __future__ import annotations

import json
import math
import statistics
import subprocess
import sys
import time
from http.client import HTTPConnection
from pathlib import Path
from typing import Any

from service.answering.registry import OPERATIONS
from service.compute import Picked, answer
from service.demo import OUT, free_port, wait_until_ready
from tests.benchmark import beside
from tests.benchmark.jobs import BUILT_UP, HALLS, usual

ROUNDS = 7
EXAMPLES = Path(__file__).parents[2] / "openapi/examples"


def processor_time(body: bytes, operation: str = "takeoffs") -> float:
    """Seconds of processor time of one job, warm: the least of several rounds."""
    picked = Picked(operation=operation)
    answer(body, picked)
    times = []
    for _ in range(3):
        start = time.process_time()
        answer(body, picked)
        times.append(time.process_time() - start)
    return min(times)


def asked(port: int, body: bytes, operation: str = "takeoffs") -> float:
    """Seconds until one request is answered."""
    connection = HTTPConnection("127.0.0.1", port, timeout=60)
    start = time.perf_counter()
    connection.request("POST", f"/v1/{operation}", body, {"Content-Type": "application/json"})
    connection.getresponse().read()
    elapsed = time.perf_counter() - start
    connection.close()
    return elapsed


def measured(port: int, body: bytes, operation: str = "takeoffs") -> tuple[float, float]:
    """Median seconds of the job and of its floor, asked in turn."""
    floor = json.dumps("x" * (len(body) - 2)).encode()
    pairs = [(asked(port, body, operation), asked(port, floor)) for _ in range(ROUNDS)]
    return statistics.median(a for a, _ in pairs), statistics.median(b for _, b in pairs)


def row(name: str, body: bytes, port: int) -> dict[str, Any]:
    """All figures of one job."""
    job, floor = measured(port, body)
    made = json.loads(answer(body).body)
    return {
        "job": name,
        "area_ft2": round(sum(s["gross"] for s in made["surfaces"])),
        "pieces": len(made["pieces"]),
        "cpu_ms": round(processor_time(body) * 1e3, 1),
        "answered_ms": round(job * 1e3, 1),
        "floor_ms": round(floor * 1e3, 2),
        "ratio": round(job / floor, 1),
        "gap_pct": max(plan["gap_pct"] for plan in made["cut_plans"]),
        "extra_pct": round(made["summary"]["extra_pct"], 2),
        "flat_pct": made["compared"][0]["flat_pct"],
    }


def other_rows(port: int) -> list[dict[str, Any]]:
    """What each example of every other operation that takes a body takes."""
    rows = []
    for one in OPERATIONS.values():
        for file in sorted((EXAMPLES / one.examples).glob("*.json")) if one.examples else ():
            body = file.read_bytes()
            took, floor = measured(port, body, one.name)
            rows.append({
                "example": f"{one.name}/{file.stem}",
                "cpu_ms": round(processor_time(body, one.name) * 1e3, 1),
                "answered_ms": round(took * 1e3, 1),
                "floor_ms": round(floor * 1e3, 2),
                "ratio": round(took / floor, 1),
            })  # fmt: skip
    return rows


def ways_of_ordering(name: str, body: bytes) -> dict[str, Any]:
    """Cost of the boards without culls and spares, by each way of ordering, and what it is extra.

    `extra` is over the finished area, in per cent: of this order, cut as you go, and by the flat
    allowance, at the price lowest by the length.
    """
    job = json.loads(body)
    for surface in job["surfaces"]:
        for layer in surface["layers"]:
            layer["rules"] = layer.get("rules", {}) | {"cull": 0, "spare": 0}
    made = json.loads(answer(json.dumps(job).encode()).body)
    row = made["compared"][-1]
    product = row["product"]
    (plan,) = (one for one in made["cut_plans"] if one["product"] == product)
    (goods,) = (one for one in made["products"] if one["product"] == product)
    share = (1 + goods["extra_pct"] / 100) / row["bought"]
    ways = {"": "bought", "as_you_go_": "as_you_go", "flat_": "would_order"}
    costs = {"": "cost", "as_you_go_": "as_you_go_cost", "flat_": "would_cost"}
    found: dict[str, Any] = {"job": name, "gap_pct": plan["gap_pct"]}
    for way, length in ways.items():
        found[f"{way}cost"] = row[costs[way]]
        found[f"{way}extra_pct"] = round(100 * (row[length] * share - 1), 1)
    return found


def growth(rows: list[dict[str, Any]]) -> float:
    """Exponent of processor time over area, from the smallest hall to the largest."""
    halls = [one for one in rows if one["job"] in HALLS]
    small, large = halls[0], halls[-1]
    return math.log(large["cpu_ms"] / small["cpu_ms"]) / math.log(
        large["area_ft2"] / small["area_ft2"]
    )


def layers_ratio(rows: list[dict[str, Any]]) -> dict[str, float]:
    """Processor time of three layers over that of boards alone, by job."""
    times = {one["job"]: one["cpu_ms"] for one in rows}
    return {name: round(times[f"{name}, three layers"] / times[name], 2) for name in BUILT_UP}


def show(rows: list[dict[str, Any]]) -> None:
    """The table."""
    names = list(rows[0])
    cells = [names, *[[str(one[name]) for name in names] for one in rows]]
    widths = [max(len(line[k]) for line in cells) for k in range(len(names))]
    for line in cells:
        print("  ".join(cell.ljust(width) for cell, width in zip(line, widths, strict=True)))


def main(base: str = "") -> int:
    """Measure all jobs against one service on loopback, or in turn with another version."""
    OUT.mkdir(exist_ok=True)
    if base:
        beside.show(base)
        return 0
    bodies = {name: json.dumps(job).encode() for name, job in usual().items()}
    port = free_port()
    server = subprocess.Popen(
        [sys.executable, "-m", "service", "serve", "--port", str(port), "--workers", "1",
         "--compute", "1"],
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
    )  # fmt: skip
    try:
        wait_until_ready(f"http://127.0.0.1:{port}", server)
        rows = [row(name, body, port) for name, body in bodies.items()]
        others = other_rows(port)
    finally:
        server.terminate()
        server.wait(20)
    exponent = growth(rows)
    show(rows)
    print(f"growth of processor time with area, hall to hall: exponent {exponent:.2f}")
    plain = {name: body for name, body in bodies.items() if "three layers" not in name}
    ways = [ways_of_ordering(name, body) for name, body in plain.items()]
    print("\nother operations")
    show(others)
    print("\nboards by each way of ordering, without culls and spares")
    show(ways)
    ratios = layers_ratio(rows)
    for name, ratio in ratios.items():
        print(f"three layers over boards alone, {name}: {ratio:.2f}")
    made = {
        "rows": rows,
        "other_operations": others,
        "usual_ways": ways,
        "growth_exponent": round(exponent, 3),
        "three_layers_over_boards": ratios,
    }
    (OUT / "bench.json").write_text(json.dumps(made, indent=1) + "\n")
    return 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
