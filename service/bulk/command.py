"""`python -m service bulk jobs.ndjson answers.ndjson`: the files, the crew, how far it is."""

from __future__ import annotations

import sys
from contextlib import closing
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from typing import Any, Final, Protocol

from tqdm import tqdm

from service.bulk.crew import Crew, Unusable, of_this_machine
from service.bulk.lines import Answered, Bounds
from service.bulk.reading import Form, Lines, jobs
from service.bulk.running import Run
from service.bulk.sheets import rooms
from service.bulk.writing import Answers, Done, Unwritable
from service.errors import Refusal

UNDONE: Final = 2
"""Exit status of a run that did not begin, or was stopped; 0 where each line was dealt with."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What the command line asked for; `scheduler` is an address, or None: this machine."""

    jobs: Path
    answers: Path
    processes: int
    scheduler: str | None
    resume: bool
    bounds: Bounds


def run(asked: Asked) -> int:
    """Answer each line of `jobs` into `answers`; gives the exit status.

    Refused lines are answers too: the sums at the end say how many there were of which sort.
    """
    try:
        return _run(asked)
    except (Unusable, Unwritable, OSError) as fault:
        print(f"bulk: {fault}", file=sys.stderr)
        return UNDONE
    except Refusal as refusal:
        print(f"bulk: {asked.jobs.name}: {refusal.faults[0].detail}", file=sys.stderr)
        return UNDONE
    except KeyboardInterrupt:
        print(f"bulk: stopped; --resume goes on with {asked.answers}", file=sys.stderr)
        return UNDONE


def _run(asked: Asked) -> int:
    form = _form(asked)
    lines = Lines(asked.jobs.name, form.records)
    total = lines.count()
    out = _out(asked, form)
    whole = False
    try:
        with closing(Run(_crew(asked), asked.bounds, form.work)) as run:
            _answer_all(run, lines, out, total)
        whole = True
    finally:
        out.close(whole)
    print(out.done.tally.in_words())
    return 0


class Out(Protocol):
    """Where answers go: a file that says how far it is."""

    done: Done

    def write(self, answered: Answered, digest: str) -> None:
        """Write the answers to the next lines; `digest` is of all lines up to them."""

    def close(self, whole: bool) -> None:
        """Close it; `whole` says that no line is left."""


def _form(asked: Asked) -> Form:
    """How the jobs are read. Raises Unwritable where the answers are named as if otherwise."""
    is_sheet = asked.jobs.suffix == ".csv"
    if is_sheet != (asked.answers.suffix == ".csv"):
        raise Unwritable(
            f"rows are answered as rows, jobs as jobs: {asked.jobs.name} cannot become "
            f"{asked.answers.name}; name both .csv, or the answers .ndjson or .parquet"
        )
    return (rooms if is_sheet else jobs)(asked.jobs, asked.bounds.line_bytes)


def _out(asked: Asked, form: Form) -> Out:
    if asked.answers.suffix != ".parquet":
        return Answers(asked.answers, asked.resume, form.head, form.end)
    if asked.resume:
        raise Unwritable("answers as .parquet cannot be gone on with: write .ndjson")
    out: Out = _of_extra("columns").OrderColumns(asked.answers)
    return out


def _crew(asked: Asked) -> Crew:
    if asked.scheduler is None:
        return of_this_machine(asked.processes)
    crew: Crew = _of_extra("cluster").of_cluster(asked.scheduler)
    return crew


def _of_extra(module: str) -> Any:
    """A module whose libraries come with the extra `bulk`. Raises Unusable where they did not."""
    try:
        return import_module(f"service.bulk.{module}")
    except ModuleNotFoundError as fault:
        raise Unusable(
            f"{fault.name} is not installed: it comes with docker/requirements-bulk.lock"
        ) from None


def _answer_all(run: Run, lines: Lines, out: Out, total: int) -> None:
    begun = out.done.lines
    with tqdm(total=total, initial=begun, unit="job", smoothing=0.05, disable=None) as progress:
        for answered in run.answers(lines.after(out.done), begun + 1):
            out.write(answered, lines.digest(out.done.lines + len(answered.bodies)))
            progress.update(len(answered.bodies))
