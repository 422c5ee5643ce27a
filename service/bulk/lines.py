"""What a worker does: a chunk of lines in, their answers out, and what that came to."""

from __future__ import annotations

import logging
import signal
import time
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


def answered(chunk: Chunk, bounds: Bounds) -> Answered:
    """The answer to each line, or the problem in its place.

    A line that takes more than `bounds.seconds` of processor ends the process that it is in, since
    native code can be stopped by nothing else.
    """
    tally, began = Tally(), time.process_time()
    bodies = []
    for number, line in enumerate(chunk.lines, chunk.first):
        signal.setitimer(signal.ITIMER_PROF, bounds.seconds)
        bodies.append(_answer(number, line, bounds, tally))
        signal.setitimer(signal.ITIMER_PROF, 0)
    tally.seconds = time.process_time() - began
    return Answered(tuple(bodies), tally)


def lost(chunk: Chunk, bounds: Bounds) -> Answered:
    """What stands in the place of lines whose process ended, and ended again."""
    tally = Tally()
    why = Declined(
        "Interrupted",
        f"The process that did the work ended, twice: the job takes more than {bounds.seconds} s "
        "of processor, or more memory than there is. Split it.",
    )
    numbers = range(chunk.first, chunk.first + len(chunk.lines))
    return Answered(tuple(_problem(number, why, tally) for number in numbers), tally)


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
        return _problem(number, _our_fault(number, fault), tally)
    tally.answer(orjson.loads(outcome.body))
    return outcome.body


def _our_fault(number: int, fault: Exception) -> Declined:
    """A fault of the service costs its line; where it lies goes to the log."""
    name = "LawBroken" if isinstance(fault, LawBroken) else "Escaped"
    _LOG.error("line %d: %s", number, name, exc_info=fault)
    return Declined(name, TABLE[name].meaning)


def _problem(number: int, declined: Declined, tally: Tally) -> bytes:
    tally.refused[TABLE[declined.name].slug] += 1
    return declined.body(f"line {number}")
