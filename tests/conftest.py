"""What all tests share: laws are tried on the same examples in every run, however slow it is."""

from __future__ import annotations

import os
import sys
import threading
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import HealthCheck, Phase, settings

from tests import side_by_side
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
    "test_alike_on_paper", "test_board_feet", "test_bounds_of_rooms",
    "test_build_up_practice", "test_certificates", "test_change_laws",
    "test_change_scenario", "test_edges_of_boards", "test_frames",
    "test_laws_of_families", "test_pages_of_jobs",
    "test_saw_on_paper", "test_sheets_of_rooms", "test_slips",
    "test_straps_under_joints", "test_words_of_the_trade",
    "test_cells", "test_closed_forms", "test_even_lengths", "test_trials_of_a_part",
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


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_auto_num_workers() -> int:
    """How many processes `-n auto` is."""
    return side_by_side.workers()


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> Any:
    """Which test goes to which process."""
    return side_by_side.ByFile(config, log) if config.option.dist == "loadgroup" else None


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """In the order of the run; side by side, those of a group are known by their ids."""
    items.sort(key=side_by_side.place)
    if getattr(config.option, "loadgroup", False):
        for item in items:
            side_by_side.named(item)


def pytest_collection_finish(session: pytest.Session) -> None:
    """All is read that tests need: a process of several then runs what it is given."""
    if hasattr(session.config, "workerinput"):
        side_by_side.settled()


def pytest_configure(config: pytest.Config) -> None:
    """The process that the workers report to calls the roll, and puts away what they leave."""
    if not hasattr(config, "workerinput"):
        config.pluginmanager.register(side_by_side.Roll())
        side_by_side.own_folder(config)
