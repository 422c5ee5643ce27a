"""What all tests share: laws are tried on the same examples in every run, however slow it is.

And no test is lost where they run side by side: what was collected is counted against what ran.
"""

from __future__ import annotations

import os
import sys
import threading
from collections.abc import Iterable, Iterator

import pytest
from _pytest.nodeid import NodeId
from hypothesis import HealthCheck, Phase, settings

from tests.strategies.budget import TIMES, many

settings.register_profile(
    "repeatable",
    derandomize=not TIMES,
    max_examples=many(100),
    deadline=None,
    database=None,
    print_blob=True,
    # Building a surface with openings takes long on a busy machine; that is not the law's fault.
    suppress_health_check=[HealthCheck.too_slow],
)
# For `make mutants`: that a law fails is enough there, its least counterexample is not looked for.
settings.register_profile(
    "unshrunk", settings.get_profile("repeatable"), phases=[Phase.explicit, Phase.generate]
)
settings.load_profile("repeatable")

collect_ignore = [] if "CALLERS" in os.environ else ["callers"]
"""What needs more than the packages of the tests is asked for: `make test-callers`."""

NOT_FOLLOWED = {
    "architecture", "contract", "end_to_end", "hostile",
    "test_backing", "test_bans", "test_bays", "test_box_beams", "test_build_ups",
    "test_conservation", "test_cures", "test_kept_rests", "test_parted_surfaces", "test_printout",
    "test_quantities", "test_tables", "test_what_is_cut", "test_svg", "test_match_lines",
    "test_cad", "test_kinds", "test_opened_up", "test_opened_up_kinds", "test_shop_sheets",
    "test_soffits", "test_trace", "test_workbooks",
    "test_changes", "test_changes_on_paper", "test_check_answer", "test_comparisons",
    "test_build_up_drawing", "test_look_of_joints", "test_drawn", "test_strapping",
    "test_cut_plans", "test_drawings", "test_edges", "test_owned", "test_saw_work",
    "test_sheets_together", "test_start_lines", "test_tapers", "test_unsawn",
    "test_cutting_instances", "test_determinism", "test_digests", "test_every_kind",
    "test_fasteners", "test_free_joints", "test_gap", "test_hanging", "test_hard_cases",
    "test_joints", "test_ledger", "test_mirror_and_units", "test_mirror_of_layers",
    "test_monotone", "test_order", "test_panels", "test_panels_laid", "test_regions",
    "test_rule_costs", "test_second_opinion", "test_sheet_claims", "test_stock_listed_twice",
    "test_stock_lists", "test_usual_ways", "test_wrap_laws",
}  # fmt: skip
"""Folders and modules that are not followed line by line, which more than doubles their time: tests
of the shell and of the report, which are not measured, and laws of whole jobs, which reach what
others reach too."""


@pytest.hookimpl(wrapper=True)
def pytest_runtest_protocol(item: pytest.Item) -> Iterator[None]:
    """A test that is not followed runs without a trace function, in its threads as well.

    The marker `no_cover` of pytest-cov does not do in a worker: there it starts coverage twice, and
    to stop the one is to go on with the other.
    """
    here, threads = sys.gettrace(), threading.gettrace()
    if NOT_FOLLOWED & {item.path.stem, item.path.parent.name}:
        sys.settrace(None)
        threading.settrace(None)
    try:
        return (yield)
    finally:
        sys.settrace(here)
        threading.settrace(threads)


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(config: pytest.Config, items: Iterable[pytest.Item]) -> None:
    """Tests of one `xdist_group` go to one process: their ids end in it, by which it is known.

    pytest-xdist 3.8 writes that where pytest 9.2 no longer looks for an id, and says nothing.
    """
    if not getattr(config.option, "loadgroup", False):
        return
    for item in items:
        mark = item.get_closest_marker("xdist_group")
        if mark is not None and not item.nodeid.endswith(f"@{mark.args[0]}"):
            item._id = NodeId.parse(f"{item.nodeid}@{mark.args[0]}")


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


def pytest_configure(config: pytest.Config) -> None:
    """The roll is called by the process that the workers report to."""
    if not hasattr(config, "workerinput"):
        config.pluginmanager.register(Roll())
