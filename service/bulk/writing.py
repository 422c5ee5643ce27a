"""The file of answers, which can be gone on with after a kill.

Beside the answers lies `<file>.progress`, which says how far they go for certain: lines, bytes, a
digest of the lines that were read, and what they came to. It is replaced whole, after the answers
that it speaks of are written, and is gone when all are. It is there before they are, so that a run
can be killed at any time.
"""

from __future__ import annotations

import json
import os
import time
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Final

from service.bulk.crew import VERSION
from service.bulk.lines import Answered
from service.bulk.tally import Tally

_BETWEEN_SECONDS: Final = 0.5
"""How often it is noted how far a run is; it decides what is done again, never what comes out."""


class Unwritable(Exception):
    """A file that is not to be written over, or cannot be gone on with; says what to do."""


@dataclass(slots=True)
class Done:
    """How far a run is: lines dealt with, bytes of answers, a digest of those lines, sums."""

    lines: int
    size: int
    digest: str
    tally: Tally


class Answers:
    """The file that answers are written to, and how far it goes."""

    def __init__(self, path: Path, resume: bool, head: bytes = b"", end: bytes = b"\n") -> None:
        """Open it, anew or, with `resume`, where it was left. Raises Unwritable.

        It begins with `head`, and each answer ends with `end`.
        """
        self._path = path
        self._end = end
        self._note = path.with_name(path.name + ".progress")
        self.done = self._left() if resume else Done(0, 0, "", Tally())
        if not resume and path.exists():
            raise Unwritable(f"{path} is there: go on with it by --resume, or take it away")
        if not path.exists():
            self._noting()
        self._file: IO[bytes] = path.open("r+b" if path.exists() else "xb")
        self._file.truncate(self.done.size)
        self._file.seek(self.done.size)
        if self.done.size < len(head):
            self.done.size += self._file.write(head)
        self.keep()

    def _left(self) -> Done:
        if not self._note.exists():
            if self._path.exists():
                raise Unwritable(f"{self._path} is whole, or of no run: nothing to go on with")
            return Done(0, 0, "", Tally())
        kept = json.loads(self._note.read_bytes())
        if kept["version"] != VERSION:
            raise Unwritable(
                f"{self._path} was begun by version {kept['version']}, this is {VERSION}: take "
                f"it and {self._note.name} away and begin anew"
            )
        return Done(kept["lines"], kept["bytes"], kept["digest"], Tally.of_json(kept["tally"]))

    def write(self, answered: Answered, digest: str) -> None:
        """Write the answers to the next lines; `digest` is of all lines up to them."""
        self.done.size += self._file.write(b"".join(body + self._end for body in answered.bodies))
        self.done.lines += len(answered.bodies)
        self.done.digest = digest
        self.done.tally.add(answered.tally)
        if time.monotonic() > self._noted + _BETWEEN_SECONDS:
            self.keep()

    def keep(self) -> None:
        """Note how far it goes, once it is written so far."""
        self._file.flush()
        os.fsync(self._file.fileno())
        self._noting()
        self._noted = time.monotonic()

    def _noting(self) -> None:
        fresh = self._note.with_name(self._note.name + ".new")
        done = self.done
        fresh.write_text(json.dumps({
            "version": VERSION, "lines": done.lines, "bytes": done.size, "digest": done.digest,
            "tally": done.tally.as_json(),
        }))  # fmt: skip
        os.replace(fresh, self._note)

    def close(self, whole: bool) -> None:
        """Close the file; `whole` says that no line is left, so nothing is to be gone on with."""
        self.keep()
        self._file.close()
        if whole:
            self._note.unlink()
