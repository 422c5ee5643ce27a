"""`make soak`: MINUTES=10 of mixed work without a pause; memory must stay flat, answers right.

Six clients send light jobs in turn, one a hall of thousands of pieces, one every other operation
and form in turn. Each minute is a row: what was answered, its times, the memory of all processes.
First all is asked for often enough that each process has read what it comes to need: a form reads
its library when it is first asked for. Then the same work goes on, and its first minutes are shown
but do not count: a hall leaves holes in the heap that the next ones fill (measured in one process:
15 MB after twelve halls, and no more after thirty), and each process must have served some thirty.
"""

from __future__ import annotations

import argparse
import asyncio
import itertools
import json
import math
import statistics
import sys
import time
from collections import Counter
from dataclasses import dataclass, field
from typing import Any

from service.api.askings import ASKINGS
from tests.end_to_end.running import Server
from tests.load.__main__ import LIGHT, ROOT, heavy, others
from tests.load.client import PATH, Door

LIGHT_CLIENTS = 6
WARM_CLIENTS, WARM_ROUNDS = 4, 12
"""As many as there are compute processes, and how often each asks for all."""
WARM_MINUTES = 8
"""Minutes of the work itself that are shown and not held to anything but right answers."""
MOST_GROWTH = 25e6
BETWEEN_LOOKS = 5.0

Asked = tuple[str, bytes]


@dataclass
class Minute:
    """What happened in it: times of light answers, statuses, wrong answers, bytes held."""

    light: list[float] = field(default_factory=list)
    statuses: Counter[int] = field(default_factory=Counter)
    wrong: int = 0
    memory: list[int] = field(default_factory=list)

    def held(self) -> float:
        """Bytes held, in the median."""
        return statistics.median(self.memory)

    def late(self, share: float) -> float:
        """Seconds in which this share of the light answers had come."""
        times = sorted(self.light)
        return times[min(len(times) - 1, int(share * len(times)))]


class Soak:
    """Clients that ask until a time, and what each minute saw."""

    def __init__(self, door: Door, server: Server, minutes: int) -> None:
        self._door, self._server = door, server
        self._began = math.inf
        self.minutes = [Minute() for _ in range(WARM_MINUTES + minutes)]
        self._right: dict[Asked, bytes] = {}

    async def run(self) -> None:
        """All clients at once, and one who looks at the memory."""
        sent = {PATH: LIGHT, **others()}
        every = list(sent.items())[1:]
        forms = [(f"{one.path}.{form}", sent[one.path]) for one in ASKINGS for form in one.forms]
        hall = (PATH, heavy())
        await asyncio.gather(*(self._ask([*every, *forms, hall]) for _ in range(WARM_CLIENTS)))
        self._began = time.monotonic()
        light = (self._ask_until([(PATH, LIGHT)], is_light=True) for _ in range(LIGHT_CLIENTS))
        await asyncio.gather(
            *light,
            self._ask_until([hall]),
            self._ask_until([*every, *forms]),
            self._look(),
        )

    def _now(self) -> Minute | None:
        minute = int((time.monotonic() - self._began) // 60)
        return self.minutes[minute] if minute < len(self.minutes) else None

    async def _ask(self, asked: list[Asked]) -> None:
        """Ask for each so many times, uncounted."""
        for path, body in asked * WARM_ROUNDS:
            await self._door.ask(body, path)

    async def _ask_until(self, asked: list[Asked], *, is_light: bool = False) -> None:
        """Ask for each in turn, over and over."""
        for path, body in itertools.cycle(asked):
            answer = await self._door.ask(body, path)
            if (minute := self._now()) is None:
                return
            minute.statuses[answer.status] += 1
            if answer.status != 200:
                await asyncio.sleep(0.05)
                continue
            minute.wrong += answer.body != self._right.setdefault((path, body), answer.body)
            if is_light:
                minute.light.append(answer.seconds)

    async def _look(self) -> None:
        while (minute := self._now()) is not None:
            minute.memory.append(await asyncio.to_thread(self._server.memory))
            await asyncio.sleep(BETWEEN_LOOKS)


def grown(minutes: list[Minute]) -> float:
    """Bytes held at the end over those held at first, each the median of a third."""
    third = max(1, len(minutes) // 3)
    early, late = ([held for one in part for held in one.memory] for part in
                   (minutes[:third], minutes[-third:]))  # fmt: skip
    return statistics.median(late) - statistics.median(early)


async def soaked(server: Server, minutes: int) -> Soak:
    """A soak of so many minutes of one server."""
    door = Door(server.client.base_url.host, server.client.base_url.port or 80)
    soak = Soak(door, server, minutes)
    await soak.run()
    door.close()
    return soak


def told(soak: Soak) -> tuple[list[str], list[str]]:
    """The table, and what was not as promised."""
    rows = ["| minute | answered | told 503 | light, half | 95 of 100 | 99 of 100 | memory |",
            "|---|---|---|---|---|---|---|"]  # fmt: skip
    for number, one in enumerate(soak.minutes, 1 - WARM_MINUTES):
        times = " | ".join(f"{1000 * one.late(share):.0f} ms" for share in (0.5, 0.95, 0.99))
        rows.append(f"| {number} | {one.statuses[200]} | {one.statuses[503]} | {times} "
                    f"| {one.held() / 1e6:.0f} MB |")  # fmt: skip
    growth, broken = grown(soak.minutes[WARM_MINUTES:]), []
    wrong = sum(one.wrong for one in soak.minutes)
    lost = sum(count for one in soak.minutes for status, count in one.statuses.items()
               if status not in (200, 503))  # fmt: skip
    rows.append(f"memory grown by {growth / 1e6:.1f} MB; wrong answers {wrong}; lost {lost}")
    broken += ["memory"] if growth > MOST_GROWTH else []
    broken += ["answers"] if wrong or lost else []
    return rows, broken


def main() -> int:
    """Run, print the table, write .build/soak.json; 1 if a promise was not kept."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--minutes", type=int, default=10)
    minutes = parser.parse_args().minutes
    server = Server("--workers", "2", "--compute", "2", TAKEOFF_LOG_LEVEL="warning")
    try:
        soak = asyncio.run(soaked(server.until_ready(), minutes))
    finally:
        server.kill()
    rows, broken = told(soak)
    print("\n".join(rows))
    written: dict[str, Any] = {"rows": rows, "broken": broken}
    (ROOT / ".build/soak.json").write_text(json.dumps(written, indent=1) + "\n")
    if broken:
        print("not kept: " + "; ".join(broken), file=sys.stderr)
    return bool(broken)


if __name__ == "__main__":
    sys.exit(main())
