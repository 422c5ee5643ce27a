"""Answers are what they were, to the byte; `make versions` says so of other versions of Python."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from service.compute import CSV, JSON, SVG
from tests.digests import __main__ as digests
from tests.digests import jobs, pythons

pytestmark = pytest.mark.xdist_group("digests")  # the answers are computed once


def test_the_answers_are_those_that_were_written(capsys: pytest.CaptureFixture[str]) -> None:
    status = digests.check()
    assert status == 0, capsys.readouterr().out


def test_there_are_jobs_of_every_sort() -> None:
    """Some sixty jobs, refusals with them, and drawings and orders of some."""
    names = list(jobs.bodies())
    assert len(names) >= 60
    sorts = {name.rsplit("-", 1)[0] for name in names}
    assert sorts >= {"rectangle", "opening", "ring", "outline", "slope", "several", "layers",
                     "metric", "taper", "refused", "priced"}  # fmt: skip
    assert {media for _, media, _ in jobs.asked()} == {JSON, SVG, CSV}
    assert len(set(digests.read())) == len(jobs.asked())


def test_an_answer_that_differs_is_told_and_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """One digest changed, one not written at all."""
    written = digests.read()
    first, second, *_ = written
    monkeypatch.setattr(digests, "digests", lambda: (written, dict.fromkeys(written, b"bytes")))
    monkeypatch.setattr(digests, "DIFFERING", tmp_path)
    changed = {key: value for key, value in written.items() if key != second} | {first: "answer 0"}
    monkeypatch.setattr(digests, "read", lambda: changed)
    assert digests.check() == 1
    told = capsys.readouterr().out
    assert first in told
    assert second in told
    assert "2 differ" in told
    assert len(list(tmp_path.iterdir())) == 2


def test_nothing_but_the_service_is_needed() -> None:
    """The digests are checked where no package of the tests is installed."""
    code = "import sys, tests.digests.__main__; print(*sys.modules)"
    run = [sys.executable, "-c", code]
    loaded = subprocess.run(run, cwd=jobs.ROOT, capture_output=True, text=True, check=True).stdout
    assert not {"hypothesis", "pytest", "httpx"} & set(loaded.split())


def test_a_version_is_taken_only_from_an_interpreter_that_says_so() -> None:
    here = "{}.{}".format(*sys.version_info)
    assert here not in pythons.others()
    assert pythons.is_of(here, Path(sys.executable))
    assert not pythons.is_of("3.0", Path(sys.executable))
