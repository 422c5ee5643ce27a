"""`make load`: the knee, overload, fairness, killed processes and SIGTERM; table and load.json.

The clients share the machine with the service, so the rates are those of both together; the
promises that are checked do not depend on the machine. Takes about two minutes.
"""

from __future__ import annotations

import asyncio
import json
import os
import signal
import sys
import time
from collections import Counter
from pathlib import Path
from typing import Any

from service.answering.registry import OPERATIONS
from service.rows.template import TEMPLATE
from tests.end_to_end.running import Server
from tests.load.client import TYPES, Answer, Door, at_rate, in_turn, quantile

ROOT = Path(__file__).parents[2]
LIGHT = (ROOT / "openapi/examples/small.json").read_bytes()
KNEE_SECONDS = 10.0
OVERLOAD_SECONDS = 12.0
FAIR_SECONDS = 12.0
OTHER_SECONDS = 5.0
KILL_SECONDS = 15.0


def heavy() -> bytes:
    """A hall of many thousand pieces."""
    job = json.loads((ROOT / "openapi/examples/large.json").read_bytes())
    surface = {**job["surfaces"][0], "rectangle": ["200 ft", "120 ft"], "openings": []}
    return json.dumps({**job, "surfaces": [surface]}).encode()


class Measured:
    """Rows of the table, and the promises that were not kept."""

    def __init__(self) -> None:
        self.rows: list[tuple[str, str, str]] = []
        self.broken: list[str] = []

    def row(self, what: str, figure: str, promise: str = "", kept: bool = True) -> None:
        """One figure; `kept` says whether it is as promised."""
        self.rows.append((what, figure, promise))
        if not kept:
            self.broken.append(what)


def wrong(answers: list[Answer], right: bytes) -> int:
    """Answers that say 200 and are not the right bytes, or say what nothing should."""
    return sum(
        one.body != right if one.status == 200 else one.status not in (0, 503) or (
            one.status == 503 and not one.can_retry)
        for one in answers
    )  # fmt: skip


async def knee(door: Door, right: bytes, found: Measured) -> float:
    """Answers a second with as many clients as keep both cores busy."""
    await in_turn(door, LIGHT, 2, 8)
    answers = await in_turn(door, LIGHT, KNEE_SECONDS, 8)
    rate = sum(one.status == 200 for one in answers) / KNEE_SECONDS
    found.row("light jobs, 8 clients in turn", f"{rate:.0f}/s", "the knee")
    late = quantile(answers, 0.95)
    found.row("their time, 95 of 100", f"{late * 1000:.0f} ms", "200 ms", late <= 0.2)
    found.row("wrong answers", f"{wrong(answers, right)}", "0", not wrong(answers, right))
    return rate


async def overload(door: Door, right: bytes, rate: float, found: Measured) -> None:
    """Twice as many as can be answered, whatever becomes of them."""
    answers = await at_rate(door, LIGHT, OVERLOAD_SECONDS, 2 * rate)
    good = sum(one.status == 200 for one in answers)
    took = OVERLOAD_SECONDS
    share = good / took / rate
    found.row(
        "answered at twice the knee", f"{share * 100:.0f} % of it", "80 % or more", share >= 0.8
    )
    statuses = Counter(one.status for one in answers)
    found.row("their time, 99 of 100", f"{quantile(answers, 0.99):.2f} s", "8 s",
              quantile(answers, 0.99) <= 8)  # fmt: skip
    found.row("the rest: 503 with Retry-After", f"{statuses[503]} of {len(answers)}", "all",
              set(statuses) <= {200, 503} and not wrong(answers, right))  # fmt: skip
    await asyncio.sleep(5)
    after = await in_turn(door, LIGHT, 3, 1)
    found.row("after 5 s of rest: refused", f"{sum(one.status != 200 for one in after)}", "0",
              all(one.status == 200 for one in after))  # fmt: skip


async def fairness(door: Door, right: bytes, found: Measured) -> None:
    """Light jobs at a steady rate beside six clients that send nothing but heavy ones."""
    big = heavy()
    halls, answers = await asyncio.gather(
        in_turn(door, big, FAIR_SECONDS, 6), at_rate(door, LIGHT, FAIR_SECONDS, 20)
    )
    late = quantile(answers, 0.95)
    found.row("light jobs beside 6 heavy clients, 95 of 100", f"{late * 1000:.0f} ms", "200 ms",
              late <= 0.2 and all(one.status == 200 for one in answers))  # fmt: skip
    done = Counter(one.status for one in halls)
    found.row(
        "heavy jobs meanwhile", f"{done[200]} done, {done[503]} told 503", "some", done[200] > 0
    )
    assert not wrong(answers, right)


def others() -> dict[str, bytes]:
    """The smallest example of every other operation that takes a body, by its path."""
    folders = {
        f"/v1/{one.name}": ROOT / "openapi/examples" / one.examples
        for one in OPERATIONS.values()
        if one.examples
    }
    jobs = {
        path: min((file.read_bytes() for file in folder.glob("*.json")), key=len)
        for path, folder in folders.items()
    }
    return {**jobs, **many()}


def many() -> dict[str, bytes]:
    """Light jobs as a batch, and a sheet of rooms."""
    line = json.dumps(json.loads(LIGHT)).encode() + b"\n"
    header, *rooms = TEMPLATE.splitlines(keepends=True)
    return {"/v1/batches": line * 20, "/v1/rows.csv": header + b"".join(rooms) * 2}


async def beside(door: Door, found: Measured) -> None:
    """Each other operation, four clients in turn beside four that send light jobs."""
    for path, body in others().items():
        right = (await door.ask(body, path)).body
        answers, light = await asyncio.gather(
            in_turn(door, body, OTHER_SECONDS, 4, path), in_turn(door, LIGHT, OTHER_SECONDS, 4)
        )
        done, late = sum(one.status == 200 for one in answers), quantile(light, 0.95)
        each = f", {len(body.splitlines())} lines each" if path in TYPES else ""
        found.row(f"{path}{each}: answered", f"{done / OTHER_SECONDS:.1f}/s", "some", done > 0)
        found.row("wrong answers", f"{wrong(answers, right)}", "0", not wrong(answers, right))
        found.row("light jobs beside them, 95 of 100", f"{late * 1000:.0f} ms", "1 s", late <= 1)


async def killed(door: Door, server: Server, right: bytes, rate: float, found: Measured) -> None:
    """A compute process and then a server process are killed under half the load of the knee."""

    async def kill() -> None:
        await asyncio.sleep(KILL_SECONDS / 4)
        os.kill(min(server.computing()), signal.SIGKILL)
        await asyncio.sleep(KILL_SECONDS / 4)
        os.kill(max(server.serving()), signal.SIGKILL)

    sent = at_rate(door, LIGHT, KILL_SECONDS, rate / 2)
    answers, _ = await asyncio.gather(sent, kill())
    lost = [one for one in answers if one.status == 0]
    told = sum(one.status == 503 for one in answers)
    found.row("compute and server process killed: lost", f"{len(lost)} of {len(answers)}",
              "those it held", len(lost) <= 40)  # fmt: skip
    found.row("told 503", f"{told}")
    found.row("wrong answers", f"{wrong(answers, right)}", "0", not wrong(answers, right))
    tail = await in_turn(door, LIGHT, 3, 4)
    found.row("refused or lost afterwards", f"{sum(one.status != 200 for one in tail)}", "0",
              all(one.status == 200 for one in tail))  # fmt: skip


async def stopped(door: Door, server: Server, right: bytes, rate: float, found: Measured) -> None:
    """SIGTERM under load and with heavy jobs at work."""

    async def term() -> float:
        await asyncio.sleep(1.5)
        began = time.monotonic()
        server.process.send_signal(signal.SIGTERM)
        while server.process.poll() is None or server.processes():
            await asyncio.sleep(0.05)
        return time.monotonic() - began

    light, halls, seconds = await asyncio.gather(
        at_rate(door, LIGHT, 1.9, rate / 2), _some(door, heavy(), 3), term()
    )
    statuses = Counter(one.status for one in (*light, *halls))
    found.row("SIGTERM under load: answered", f"{statuses[200]}")
    found.row("told 503", f"{statuses[503]}")
    found.row("lost", f"{statuses[0]}", "0", statuses[0] == 0 and not wrong(light, right))
    found.row("until every process was gone", f"{seconds:.1f} s", "15 s", seconds <= 15)
    status = server.process.returncode
    found.row("exit status", f"{status}", "0", status == 0)


async def _some(door: Door, body: bytes, count: int) -> list[Answer]:
    await asyncio.sleep(1)
    return list(await asyncio.gather(*(door.ask(body) for _ in range(count))))


async def measure(server: Server) -> Measured:
    """Everything, one after the other, on one server."""
    found = Measured()
    door = Door(server.client.base_url.host, server.client.base_url.port or 80)
    right = (await door.ask(LIGHT)).body
    before = server.memory()
    found.row("memory of all processes before", f"{before / 1e6:.0f} MB", "300 MB", before <= 300e6)
    rate = await knee(door, right, found)
    await overload(door, right, rate, found)
    await fairness(door, right, found)
    await beside(door, found)
    await killed(door, server, right, rate, found)
    grown = (server.memory() - before) / 1e6
    found.row("memory of all processes, grown by", f"{grown:.0f} MB", "150 MB", grown <= 150)
    await stopped(door, server, right, rate, found)
    door.close()
    return found


def main() -> int:
    """Run, print the table, write .build/load.json; 1 if a promise was not kept."""
    server = Server("--workers", "2", "--compute", "2", TAKEOFF_LOG_LEVEL="warning")
    try:
        found = asyncio.run(measure(server.until_ready()))
    finally:
        server.kill()
    print("| what | measured | promised |\n|---|---|---|")
    for row in found.rows:
        print("| " + " | ".join(row) + " |")
    written: dict[str, Any] = {"rows": found.rows, "broken": found.broken}
    (ROOT / ".build/load.json").write_text(json.dumps(written, indent=1) + "\n")
    if found.broken:
        print("not kept: " + "; ".join(found.broken), file=sys.stderr)
    return bool(found.broken)


if __name__ == "__main__":
    sys.exit(main())
