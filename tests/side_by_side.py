"""How tests run side by side: how many at once, what goes together, what is begun first.

And no test is lost: what was collected is counted against what ran.
"""

from __future__ import annotations

import gc
import os
import tempfile
from collections.abc import Iterable
from typing import Final

import pytest
from _pytest.nodeid import NodeId
from xdist.scheduler import LoadGroupScheduling

SLOWEST: Final = (
    "hostile", "end_to_end/test_server.py", "contract/test_drawn_from_json.py",
    "property/test_every_kind.py", "architecture/test_wrong_kinds.py", "digests",
    "contract/test_schemathesis.py", "contract/test_document.py", "property/test_cures.py",
    "contract/test_errors.py", "contract/test_batches.py", "reference/test_kinds.py",
    "unit/test_svg.py", "contract/test_examples.py", "property/test_regions.py",
    "property/test_edges.py", "property/test_opened_up.py", "property/test_mirror_and_units.py",
    "property/test_hard_cases.py", "property/test_free_joints.py", "readme",
    "property/test_printout.py", "architecture/test_side_by_side.py",
    "image", "callers/test_in_an_office.py", "callers/test_in_a_browser.py",
    "callers/test_bulk_kills.py", "callers/test_typed_clients.py",
    "callers/test_bulk_on_a_cluster.py",
)  # fmt: skip
"""Files and groups that take longest: they are begun first, and the rest fills up beside them."""


def workers() -> int:
    """One more than there are cores: some tests wait, for a deadline or for a server's end.

    Those of callers start programs of their own, and wait for nobody: as many as there are cores.
    """
    cores = getattr(os, "sched_getaffinity", lambda _: range(os.cpu_count() or 1))(0)
    return len(cores) + ("CALLERS" not in os.environ)


class ByFile(LoadGroupScheduling):
    """Tests of a file go to one process, so that what they share is made once; so do groups."""

    def _split_scope(self, nodeid: str) -> str:
        return super()._split_scope(nodeid).partition("::")[0]


def place(item: pytest.Item) -> int:
    """Where a test stands in the order of the run."""
    mark = item.get_closest_marker("xdist_group")
    group = mark.args[0] if mark else f"{item.path.parent.name}/{item.path.name}"
    return SLOWEST.index(group) if group in SLOWEST else len(SLOWEST)


def named(item: pytest.Item) -> None:
    """Write the `xdist_group` of a test at the end of its id, by which it is known.

    pytest-xdist 3.8 writes that where pytest 9.2 no longer looks for an id, and says nothing.
    """
    mark = item.get_closest_marker("xdist_group")
    if mark is not None and not item.nodeid.endswith(f"@{mark.args[0]}"):
        item._id = NodeId.parse(f"{item.nodeid}@{mark.args[0]}")


def settled() -> None:
    """What was read to collect the tests stays: the collector of garbage looks at it no more."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20, 50)


def own_folder(config: pytest.Config) -> None:
    """Whatever is put into the folder for temporary files goes when the run ends.

    Processes that a test kills leave theirs behind. What tests write in `tmp_path` is kept where
    pytest always keeps it.
    """
    os.environ.setdefault("PYTEST_DEBUG_TEMPROOT", tempfile.gettempdir())
    folder = tempfile.TemporaryDirectory(prefix="takeoff-tests-", ignore_cleanup_errors=True)
    config.add_cleanup(folder.cleanup)
    os.environ["TMPDIR"] = tempfile.tempdir = folder.name


class Roll:
    """The roll of tests that run side by side: each that was collected must have run, once."""

    def __init__(self) -> None:
        self.collected: set[str] = set()
        self.ran: list[str] = []

    @pytest.hookimpl(optionalhook=True)
    def pytest_xdist_node_collection_finished(self, ids: Iterable[str]) -> None:
        """What a worker has collected; a run ends at once where they differ."""
        self.collected.update(ids)

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Every test is set up, a skipped one too."""
        if report.when == "setup":
            self.ran.append(report.nodeid)

    @pytest.hookimpl(tryfirst=True)
    def pytest_sessionfinish(self, session: pytest.Session) -> None:
        """A run that was not ended early is an error where a test is missing or ran twice."""
        early = session.shouldstop or session.shouldfail
        if self.collected and not early and sorted(self.ran) != sorted(self.collected):
            session.exitstatus = pytest.ExitCode.INTERNAL_ERROR

    def pytest_terminal_summary(self, terminalreporter: pytest.TerminalReporter) -> None:
        """Both counts, beside what passed and failed."""
        if self.collected:
            counts = f"{len(self.collected)} tests collected, {len(self.ran)} run"
            terminalreporter.write_line(counts)
