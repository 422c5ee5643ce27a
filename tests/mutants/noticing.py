"""Runs the tests against one mistake after another, each in a copy of a process with all loaded.

Loading takes longer than most tests, so it is done once: pytest collects the tests, and then this
process is copied (fork) for each mistake, which is put into the copy's live function. Only the
tests that run the line are run there: those first that noticed a mistake in the same file before,
then those that run the fewest lines of all, for they are about this one.
"""

from __future__ import annotations

import ast
import gc
import hashlib
import json
import os
import resource
import signal
import time
import traceback
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from importlib import import_module
from itertools import groupby, pairwise
from pathlib import Path
from types import FunctionType
from typing import Any

import coverage
import pytest

from tests.mutants.changing import Change

ROOT = Path(__file__).parents[2]
KNOWN = ROOT / ".build/mutants-known.json"
"""What is known of each test file: its tests with their seconds, and the lines that they ran."""

LAST = ROOT / ".build/mutants-last"
"""The test that runs against a mistake now."""

LIVES, NOTICED, BROKEN = 0, 1, 2
MEMORY = 8 << 30
"""Bytes: a mistake that never ends may not take all of the machine with it."""


@dataclass(frozen=True, slots=True)
class Mistake:
    """A change of a file of a room, relative to the root."""

    room: str
    file: Path
    change: Change

    def __str__(self) -> str:
        return f"{self.file}:{self.change.line}: {self.change.what}"

    def unmade(self) -> Mistake:
        """The same place without the mistake: what every test must leave unnoticed."""
        plain = ast.unparse(ast.parse((ROOT / self.file).read_text()))
        return replace(self, change=replace(self.change, what="nothing", source=plain))

    def put(self) -> None:
        """Put the mistake into the live function."""
        code = self.change.code()
        module = ".".join(self.file.with_suffix("").parts)
        import_module(module)  # some are loaded only when they are asked for
        found = [
            one
            for one in gc.get_objects()
            if isinstance(one, FunctionType)
            and one.__module__ == module
            and one.__code__.co_qualname == self.change.within
        ]
        for function in found:
            function.__code__ = code
        if not found:
            raise LookupError(self)


@dataclass(slots=True)
class Trial:
    """A pytest plugin: in place of running the tests once, runs them against each mistake.

    The tests run against one mistake take at most `seconds` of the processor without it. A test
    that takes ten times as long as without it, and ten seconds more, has noticed: time of the
    processor is counted, so a busy machine makes no difference.
    """

    mistakes: Sequence[Mistake]
    seconds: float
    until: float
    made: Counter[str] = field(default_factory=Counter)
    survivors: list[Mistake] = field(default_factory=list)
    _failed: bool = False

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Remember that a test failed."""
        self._failed = self._failed or report.failed

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """Measure what is not known yet, then make the mistakes."""
        if session.testsfailed:
            raise session.Interrupted("a test file cannot be loaded")
        known = self._known(session.items)
        first: Counter[tuple[Path, str]] = Counter()
        for room, own in groupby(self.mistakes, lambda mistake: mistake.room):
            mistakes = list(own)
            if self._is_noticed(mistakes[0].unmade(), session.items, known, first):
                pytest.exit(f"the tests of {room} fail without any mistake", 1)
            for mistake in mistakes:
                if time.monotonic() > self.until:
                    return True
                self.made[room] += 1
                if not self._is_noticed(mistake, session.items, known, first):
                    self.survivors.append(mistake)
                    print(f"  not noticed: {mistake}", flush=True)
        return True

    def _known(self, items: list[pytest.Item]) -> dict[str, Any]:
        """Seconds and lines of each test, measured again where it or the service changed."""
        service = _digest(*sorted((ROOT / "service").rglob("*.py")))
        known = json.loads(KNOWN.read_text()) if KNOWN.exists() else {}
        for path, group in groupby(items, lambda item: item.path):
            name, digest = str(path.relative_to(ROOT)), f"{service} {_digest(path)}"
            tests, before = list(group), known.get(name, {"digest": "", "tests": {}})
            if before["digest"] == digest and {one.nodeid for one in tests} <= set(before["tests"]):
                continue
            if _forked(lambda tests=tests, name=name: self._measured(tests, name)) != LIVES:
                pytest.exit(f"{name} fails without any mistake", 1)
            found = json.loads(KNOWN.with_suffix(".new").read_text())
            known[name] = {"digest": digest, "tests": found}
            print(f"  {name}: {sum(one['seconds'] for one in found.values()):.0f} s", flush=True)
            KNOWN.write_text(json.dumps(known))
        return {test: found for one in known.values() for test, found in one["tests"].items()}

    def _measured(self, items: list[pytest.Item], name: str) -> int:
        traced = coverage.Coverage(
            data_file=None, config_file=False, include=[str(ROOT / "service/*")]
        )
        traced.set_option("run:disable_warnings", ["no-data-collected"])  # of the service, it may
        seconds = {}
        traced.start()
        for item, after in pairwise([*items, None]):
            traced.switch_context(item.nodeid)
            began = time.process_time()
            item.config.hook.pytest_runtest_protocol(item=item, nextitem=after)
            seconds[item.nodeid] = time.process_time() - began
        traced.stop()
        ran: dict[str, dict[str, list[int]]] = {test: {} for test in seconds}
        data = traced.get_data()
        for file in sorted(data.measured_files()):
            for line, tests in data.contexts_by_lineno(file).items():
                for test in filter(None, tests):
                    ran[test].setdefault(str(Path(file).relative_to(ROOT)), []).append(line)
        found = {test: {"seconds": seconds[test], "ran": ran[test]} for test in seconds}
        KNOWN.with_suffix(".new").write_text(json.dumps(found))
        return NOTICED if self._failed else LIVES

    def _is_noticed(
        self, mistake: Mistake, items: list[pytest.Item], known: dict[str, Any],
        first: Counter[tuple[Path, str]],
    ) -> bool:  # fmt: skip
        chosen = list(_within(self.seconds, sorted(
            _running(mistake, items, known),
            key=lambda item: (-first[mistake.file, item.nodeid], _lines(known[item.nodeid])),
        ), known))  # fmt: skip
        LAST.write_text("")
        ended = _forked(lambda: self._against(mistake, chosen, known))
        last = LAST.read_text()
        if ended in (BROKEN, -signal.SIGKILL):
            pytest.exit(f"{mistake}: ended with {ended} in {last}", 1)
        if ended != LIVES:
            first[mistake.file, last] += 1
        return ended != LIVES

    def _against(self, mistake: Mistake, items: list[pytest.Item], known: dict[str, Any]) -> int:
        resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
        mistake.put()
        for item, after in pairwise([*items, None]):
            LAST.write_text(item.nodeid)
            signal.setitimer(signal.ITIMER_PROF, 10 + 10 * known[item.nodeid]["seconds"])
            item.config.hook.pytest_runtest_protocol(item=item, nextitem=after)
            if self._failed:
                return NOTICED
        return LIVES


def _running(
    mistake: Mistake, items: list[pytest.Item], known: dict[str, Any]
) -> list[pytest.Item]:
    """The tests that run the line of the mistake, or where that is not told its function."""
    ran = {
        item.nodeid: frozenset(known[item.nodeid]["ran"].get(str(mistake.file), ()))
        for item in items
    }
    told = any(mistake.change.line in lines for lines in ran.values())
    wanted = {mistake.change.line} if told else set(mistake.change.lines)
    return [item for item in items if ran[item.nodeid] & wanted]


def _lines(test: dict[str, Any]) -> int:
    """How many lines of the service a test runs."""
    return sum(len(lines) for lines in test["ran"].values())


def _within(
    seconds: float, items: list[pytest.Item], known: dict[str, Any]
) -> Iterator[pytest.Item]:
    """As many of the first tests as take `seconds` together; never none where there is one."""
    for item in items:
        yield item
        seconds -= known[item.nodeid]["seconds"]
        if seconds < 0:
            return


def _forked(work: Callable[[], int]) -> int:
    """What `work` gives in a silent copy of this process, or minus the signal that ended it."""
    child = os.fork()
    if child == 0:
        ended = BROKEN
        try:
            os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
            ended = work()
        except BaseException:
            traceback.print_exc()
        finally:
            os._exit(ended)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


def _digest(*files: Path) -> str:
    return hashlib.sha256(b"".join(file.read_bytes() for file in files)).hexdigest()[:16]
