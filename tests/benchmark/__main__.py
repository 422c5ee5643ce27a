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

from service.compute import answer
from service.demo import JOB, OUT, free_port, wait_until_ready

ROUNDS = 7
BUILT_UP = ("room 24 x 32 ft, 4 openings", "hall 60 x 100 ft")
"""Jobs that are measured with sheets and wrap behind the boards too."""


def room(length: str, width: str, openings: list[dict[str, Any]]) -> bytes:
    """A rectangular ceiling of the large example's board."""
    large = json.loads((Path(__file__).parents[2] / "openapi/examples/large.json").read_text())
    surface = dict(large["surfaces"][0], rectangle=[length, width], openings=openings)
    return json.dumps(dict(large, surfaces=[surface])).encode()


BEHIND = [
    {"kind": "sheathing", "product": "sheet"},
    {"kind": "wrap", "product": "roll", "tape": "tape"},
]
GOODS = [
    {"id": "sheet", "form": "sheet", "width": 47.875, "thickness": 0.5,
     "stock": [{"length": 95.875, "price": "31.50"}]},
    {"id": "roll", "form": "roll", "width": 54, "stock": [{"length": "100 ft", "price": "62"}]},
    {"id": "tape", "form": "tape", "width": 2.5, "length": "165 ft"},
]  # fmt: skip


def with_layers_behind(body: bytes) -> bytes:
    """The same job with sheets and wrap behind the boards."""
    job = json.loads(body)
    surfaces = [one | {"layers": [*BEHIND, *one["layers"]]} for one in job["surfaces"]]
    return json.dumps(job | {"surfaces": surfaces, "products": [*job["products"], *GOODS]}).encode()


ELEVEN = (
    ("veranda", "31' 8\"", "10' 2\""), ("porch", "14' 3\"", "6' 9\""),
    ("carport", "19' 6\"", "18' 4\""), ("soffit-east", "32' 0\"", "2' 1\""),
    ("soffit-west", "32' 0\"", "2' 1\""), ("soffit-north", "24' 5\"", "1' 7\""),
    ("soffit-south", "24' 5\"", "1' 7\""), ("entry", "8' 10\"", "5' 11\""),
    ("balcony", "16' 1\"", "4' 6\""), ("passage", "27' 9\"", "3' 8\""),
    ("summer-kitchen", "12' 7\"", "11' 3\""),
)  # fmt: skip
"""Name, length and width of the surfaces of one order, all of one board."""


def eleven() -> bytes:
    """One order for eleven surfaces of the large example's board."""
    large = json.loads((Path(__file__).parents[2] / "openapi/examples/large.json").read_text())
    plain = dict(large["surfaces"][0], openings=[])
    surfaces = [
        dict(plain, id=name, type="soffit" if "soffit" in name else "ceiling",
             rectangle=[length, width])
        for name, length, width in ELEVEN
    ]  # fmt: skip
    return json.dumps(dict(large, surfaces=surfaces)).encode()


def jobs() -> dict[str, bytes]:
    """The jobs by name."""
    large = json.loads((Path(__file__).parents[2] / "openapi/examples/large.json").read_text())
    four = large["surfaces"][0]["openings"]
    found = {
        "demo porch": JOB.read_bytes(),
        "one order for eleven surfaces": eleven(),
        "room 24 x 32 ft, 4 openings": room("32 ft", "24 ft", four),
        "hall 30 x 50 ft": room("50 ft", "30 ft", []),
        "hall 60 x 100 ft": room("100 ft", "60 ft", []),
        "hall 120 x 200 ft": room("200 ft", "120 ft", []),
    }
    built_up = {f"{name}, three layers": with_layers_behind(found[name]) for name in BUILT_UP}
    return found | built_up


def processor_time(body: bytes) -> float:
    """Seconds of processor time of one job, warm: the least of several rounds."""
    answer(body)
    times = []
    for _ in range(3):
        start = time.process_time()
        answer(body)
        times.append(time.process_time() - start)
    return min(times)


def asked(port: int, body: bytes) -> float:
    """Seconds until one request is answered."""
    connection = HTTPConnection("127.0.0.1", port, timeout=60)
    start = time.perf_counter()
    connection.request("POST", "/v1/takeoffs", body, {"Content-Type": "application/json"})
    connection.getresponse().read()
    elapsed = time.perf_counter() - start
    connection.close()
    return elapsed


def measured(port: int, body: bytes) -> tuple[float, float]:
    """Median seconds of the job and of its floor, asked in turn."""
    floor = json.dumps("x" * (len(body) - 2)).encode()
    pairs = [(asked(port, body), asked(port, floor)) for _ in range(ROUNDS)]
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


def beside_usual_ways(name: str, body: bytes) -> dict[str, Any]:
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
    halls = [one for one in rows if one["job"].startswith("hall") and "layers" not in one["job"]]
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


def main() -> int:
    """Measure all jobs against one service on loopback."""
    OUT.mkdir(exist_ok=True)
    port = free_port()
    server = subprocess.Popen(
        [sys.executable, "-m", "service", "serve", "--port", str(port), "--workers", "1",
         "--compute", "1"],
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
    )  # fmt: skip
    try:
        wait_until_ready(f"http://127.0.0.1:{port}", server)
        rows = [row(name, body, port) for name, body in jobs().items()]
    finally:
        server.terminate()
        server.wait(20)
    exponent = growth(rows)
    show(rows)
    print(f"growth of processor time with area, hall to hall: exponent {exponent:.2f}")
    plain = {name: body for name, body in jobs().items() if "three layers" not in name}
    usual = [beside_usual_ways(name, body) for name, body in plain.items()]
    print("\nboards by each way of ordering, without culls and spares")
    show(usual)
    ratios = layers_ratio(rows)
    for name, ratio in ratios.items():
        print(f"three layers over boards alone, {name}: {ratio:.2f}")
    made = {
        "rows": rows,
        "usual_ways": usual,
        "growth_exponent": round(exponent, 3),
        "three_layers_over_boards": ratios,
    }
    (OUT / "bench.json").write_text(json.dumps(made, indent=1) + "\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
