"""What a worker does: a chunk of lines in, their answers out, and what that came to."""

from __future__ import annotations

import logging
import signal
import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import orjson

from service.api.problems import TABLE, Declined, declined_by, too_large
from service.bulk.tally import Tally
from service.compute import Picked, answer
from service.errors import LawBroken

_LOG: Final = logging.getLogger("service.bulk")


@dataclass(frozen=True, slots=True)
class Bounds:
    """What one line may take: bytes, and seconds of processor before its process is ended."""

    line_bytes: int
    seconds: int


@dataclass(frozen=True, slots=True)
class Chunk:
    """Lines that are worked on together; the first has the number `first`, counted from 1."""

    first: int
    lines: tuple[bytes, ...]

    def parted(self) -> list[Chunk]:
        """A chunk for each line."""
        return [Chunk(self.first + k, (line,)) for k, line in enumerate(self.lines)]


@dataclass(frozen=True, slots=True)
class Answered:
    """The answers to a chunk, one for each line and in their order, none with a line feed."""

    bodies: tuple[bytes, ...]
    tally: Tally


@dataclass(frozen=True, slots=True)
class Work:
    """What a worker does with a chunk, and what stands there where its process ended twice."""

    answered: Callable[[Chunk, Bounds], Answered]
    lost: Callable[[Chunk, Bounds], Answered]


One = Callable[[int, bytes, Bounds, Tally], bytes]
"""A line with its number to what stands in its place, counted in the tally."""


def in_turn(chunk: Chunk, bounds: Bounds, one: One) -> Answered:
    """What `one` makes of each line.

    A line that takes more than `bounds.seconds` of processor ends the process that it is in, since
    native code can be stopped by nothing else.
    """
    tally, began = Tally(), time.process_time()
    bodies = []
    for number, line in enumerate(chunk.lines, chunk.first):
        signal.setitimer(signal.ITIMER_PROF, bounds.seconds)
        bodies.append(one(number, line, bounds, tally))
        signal.setitimer(signal.ITIMER_PROF, 0)
    tally.seconds = time.process_time() - began
    return Answered(tuple(bodies), tally)


def answered(chunk: Chunk, bounds: Bounds) -> Answered:
    """The answer to the job on each line, or the problem in its place."""
    return in_turn(chunk, bounds, _answer)


def lost(chunk: Chunk, bounds: Bounds) -> Answered:
    """What stands in the place of lines whose process ended, and ended again."""
    tally = Tally()
    why = Declined("Interrupted", lost_because(bounds))
    numbers = range(chunk.first, chunk.first + len(chunk.lines))
    return Answered(tuple(_problem(number, why, tally) for number in numbers), tally)


JOBS: Final = Work(answered, lost)
"""Jobs as `POST /v1/takeoffs` takes them."""


def lost_because(bounds: Bounds) -> str:
    """Why there is no answer to a line whose process ended, and ended again."""
    return (
        f"The process that did the work ended, twice: the job takes more than {bounds.seconds} s "
        "of processor, or more memory than there is. Split it."
    )


def _answer(number: int, line: bytes, bounds: Bounds, tally: Tally) -> bytes:
    try:
        if len(line) > bounds.line_bytes:
            raise too_large(bounds.line_bytes)
        outcome = answer(line, Picked())
        if outcome.kind != "answer":
            raise declined_by(outcome.kind, outcome.body)
    except Declined as declined:
        return _problem(number, declined, tally)
    except Exception as fault:
        name = failed(number, fault)
        return _problem(number, Declined(name, TABLE[name].meaning), tally)
    tally.answer(orjson.loads(outcome.body))
    return outcome.body


def failed(number: int, fault: Exception) -> str:
    """The problem of a fault of the service, which costs its line; where it lies is logged."""
    name = "LawBroken" if isinstance(fault, LawBroken) else "Escaped"
    _LOG.error("line %d: %s", number, name, exc_info=fault)
    return name


def _problem(number: int, declined: Declined, tally: Tally) -> bytes:
    tally.refused[TABLE[declined.name].slug] += 1
    return declined.body(f"line {number}")
