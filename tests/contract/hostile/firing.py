"""Sends what was prepared, looks at every answer, and between them asks what it knows already.

Of each sort a fixed selection is sent, half of the number that each test names, so that it stays
short; HOSTILE=25 sends 25 times that number.
"""

from __future__ import annotations

import json
import os
import random
from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from fractions import Fraction
from math import ceil
from typing import Any, TypeVar

import httpx

from tests.contract.hostile.sound import faults
from tests.contract.hostile.walking import Operation, taking_a_body, written
from tests.end_to_end.running import Server

TIMES = Fraction(os.environ.get("HOSTILE", "1/2"))
SEED = 20_260_101
_THREADS = 2
_PATIENCE = 5
_EACH_FORM = 8
_BETWEEN = 7
"""A sound request stands between so many hostile ones."""


@dataclass(frozen=True, slots=True)
class Case:
    """One request. `allowed` says which statuses are right, besides a 503; empty: any sound one."""

    name: str
    path: str
    body: bytes = b""
    method: str = "POST"
    headers: dict[str, str] = field(default_factory=dict)
    allowed: tuple[int, ...] = ()
    wanted: str = "application/json"
    then: Callable[[httpx.Response], list[str]] | None = None


_C = TypeVar("_C")

REFUSED = (400, 404, 405, 406, 413, 414, 415, 422, 431)
JSON = {"Content-Type": "application/json"}


def posted(name: str, operation: Operation, body: Any, **more: Any) -> Case:
    """A case that sends `body`, bytes as they are or anything else as JSON, to `operation`."""
    sent = body if isinstance(body, bytes) else written(body)
    return Case(name, operation.address, sent, operation.method, JSON, **more)


class Range:
    """Where the shooting is: a client of the service, and what it answered before all this."""

    def __init__(self, server: Server) -> None:
        self._client = client = server.client
        self._known = {
            one.address: (json.dumps(one.examples[0]).encode(), b"") for one in taking_a_body()
        }
        for path, (body, _) in list(self._known.items()):
            answer = client.post(path, content=body, headers=JSON)
            assert answer.status_code == 200, answer.text[:300]
            self._known[path] = (body, answer.content)
        self._read_all_forms()
        self.memory_at_start = server.memory()

    def _read_all_forms(self) -> None:
        """Have every process read the libraries of the forms that it is asked for: no growth."""
        asked = [one for one in taking_a_body() if one.address == "/v1/takeoffs"]
        body = json.dumps(asked[0].examples[0]).encode()
        addresses = [f"/v1/takeoffs.{form}" for form in ("xlsx", "pdf", "dxf")] * _EACH_FORM
        with ThreadPoolExecutor(_EACH_FORM) as threads:
            list(
                threads.map(lambda at: self._client.post(at, content=body, headers=JSON), addresses)
            )

    def survives(self, cases: Iterable[Case | Callable[[], Case]], most: int) -> None:
        """Fail unless every case (of a selection of `most`) is answered as it should be.

        Of many, a function that makes each is enough: only those of the selection are made.
        """
        chosen = [one if isinstance(one, Case) else one() for one in _selected(list(cases), most)]
        assert chosen
        with ThreadPoolExecutor(_THREADS) as threads:
            found = [fault for faults in threads.map(self._fired, enumerate(chosen))
                     for fault in faults]  # fmt: skip
        assert not found, f"{len(found)} of {len(chosen)}:\n" + "\n".join(found[:20])

    def _fired(self, numbered: tuple[int, Case]) -> list[str]:
        number, case = numbered
        try:
            answer = self._client.request(
                case.method, case.path, content=case.body, headers=case.headers
            )
        except httpx.TransportError as fault:
            return [f"{case.name}: no answer: {fault!r}"]
        found = faults(answer, case.wanted)
        if case.allowed and answer.status_code not in (*case.allowed, 503):
            found.append(f"{answer.status_code} for {case.allowed}: {answer.text[:300]}")
        if case.then and answer.status_code == 200:
            found += case.then(answer)
        if number % _BETWEEN == 0:
            found += self._canary(number // _BETWEEN)
        return [f"{case.name}: {fault}" for fault in found]

    def asked(self, operation: Operation, body: Any) -> Any:
        """The whole answer to a sound request; asked again where no place was free."""
        for _ in range(_PATIENCE):
            answer = self._client.post(operation.address, content=written(body), headers=JSON)
            if answer.status_code != 503:
                break
        return answer.json()

    def _canary(self, turn: int) -> list[str]:
        """A request answered before must still be answered with the same bytes: each in turn."""
        path, (body, before) = list(self._known.items())[turn % len(self._known)]
        answer = self._client.post(path, content=body, headers=JSON)
        if answer.content == before or answer.status_code == 503:
            return []
        return [f"a sound request to {path} is answered otherwise: {answer.status_code}"]


def _selected(cases: Sequence[_C], most: int) -> Sequence[_C]:
    most = ceil(most * TIMES)
    return cases if len(cases) <= most else random.Random(SEED).sample(cases, most)
