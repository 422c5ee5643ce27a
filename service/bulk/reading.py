"""A file of jobs as records, each with its number, and a digest of those that were read.

Of a record that is longer than is read only so much is kept as shows it: memory does not follow
what a file holds.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import IO, AnyStr, Final

from service.bulk.lines import JOBS, Work
from service.bulk.writing import Done, Unwritable

_ENDS: Final = ("\n", "\r", b"\n")
"""With these a line ends, in text and in bytes."""

Records = Callable[[], Iterator[bytes]]
"""Begins to read the records of a file, with their line ends."""


@dataclass(frozen=True, slots=True)
class Form:
    """How a file is read and answered: its records, their work, what stands round the answers."""

    records: Records
    work: Work
    head: bytes = b""
    end: bytes = b"\n"


def jobs(path: Path, most: int) -> Form:
    """A file with a job on each line; of a line `most` bytes are read, and one that shows it."""
    return Form(partial(_records, path, most), JOBS)


def _records(path: Path, most: int) -> Iterator[bytes]:
    with path.open("rb") as file:
        yield from cut_lines(file, most)


def cut_lines(file: IO[AnyStr], most: int) -> Iterator[AnyStr]:
    """The lines of a file with their ends; what a line has beyond `most` and one is passed over."""
    while line := file.readline(most + 1):
        yield line
        rest = line
        while rest and rest[-1:] not in _ENDS:
            rest = file.readline(most)


class Lines:
    """The records of a file, numbered from 1, without line ends."""

    def __init__(self, name: str, records: Records) -> None:
        self._name = name
        self._records = records
        self._digests: dict[int, str] = {}

    def count(self) -> int:
        """How many there are; a last one without a line end is one too."""
        return sum(1 for _ in self._records())

    def after(self, done: Done) -> Iterator[bytes]:
        """Those that are not dealt with. Raises Unwritable where those that are were others."""
        read = hashlib.sha256()
        for number, line in enumerate(self._records(), 1):
            read.update(line)
            if number < done.lines:
                continue
            digest = read.hexdigest()
            if number == done.lines and digest != done.digest:
                raise Unwritable(
                    f"{self._name} does not begin with the {done.lines} lines that are answered"
                )
            if number > done.lines:
                self._digests[number] = digest
                yield line.rstrip(b"\r\n")

    def digest(self, number: int) -> str:
        """The digest of all records up to this one; those before it are forgotten."""
        for earlier in [one for one in self._digests if one < number]:
            del self._digests[earlier]
        return self._digests[number]
