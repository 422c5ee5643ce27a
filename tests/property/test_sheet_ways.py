"""Ways of jointing a run, priced by their parts, against all of them tried one by one."""

from __future__ import annotations

from collections.abc import Iterator

from hypothesis import given
from hypothesis import strategies as st

from service.cutting.sheets.trees import Part
from service.cutting.sheets.ways import Jointing, cheapest_ways, least_worth, live, most_of
from tests.strategies.budget import LAW

Step = tuple[int, int, Part | None]


@st.composite
def runs(draw: st.DrawFn) -> Jointing:
    """Steps between a few nodes, some of them dead ends; one leads from end to end."""
    last = draw(st.integers(1, 6))
    pairs = draw(
        st.sets(st.sampled_from([(a, b) for a in range(last) for b in range(a + 1, last + 1)]))
    )
    parts = st.none() | st.builds(Part, st.integers(1, 4), st.integers(1, 2))
    return Jointing(tuple((a, b, draw(parts)) for a, b in sorted(pairs | {(0, last)})), last)


PRICES = st.fixed_dictionaries(
    {Part(long, wide): st.integers(0, 9) for long in range(1, 5) for wide in (1, 2)}
)


def paths(run: Jointing, at: int = 0) -> Iterator[tuple[Step, ...]]:
    """Every way from a node to the high end."""
    if at == run.last:
        yield ()
    for step in run.steps:
        if step[0] == at:
            yield from ((step, *more) for more in paths(run, step[1]))


def parts_of(path: tuple[Step, ...]) -> list[Part]:
    return [part for _, _, part in path if part is not None]


def joints_of(path: tuple[Step, ...]) -> tuple[int, ...]:
    return tuple(end for _, end, _ in path[:-1])


@LAW
@given(run=runs(), prices=PRICES, toll=st.integers(0, 3), shut=st.sets(st.integers(1, 5)),
       most=st.integers(1, 40))  # fmt: skip
def test_the_cheapest_ways_are_the_first_of_all_in_order(
    run: Jointing, prices: dict[Part, int], toll: int, shut: set[int], most: int
) -> None:
    """By joints at shut nodes, worth with tolls, number of joints; each with its own parts."""
    every = {
        joints_of(path): (
            sum(node in shut for node in joints_of(path)),
            sum(prices[part] for part in parts_of(path)) + toll * len(joints_of(path)),
            len(joints_of(path)),
        )
        for path in paths(run)
    }
    found = cheapest_ways(run, prices, toll, shut, most)
    assert [(one.near, one.worth, one.many) for one in found] == sorted(every.values())[:most]
    assert all(every[one.joints] == (one.near, one.worth, one.many) for one in found)
    by_joints = {joints_of(path): parts_of(path) for path in paths(run)}
    assert all(list(one.parts) == by_joints[one.joints] for one in found)


@LAW
@given(run=runs(), prices=PRICES)
def test_no_way_is_worth_less_than_the_least_and_dead_ends_play_no_part(
    run: Jointing, prices: dict[Part, int]
) -> None:
    worths = [sum(prices[part] for part in parts_of(path)) for path in paths(run)]
    assert least_worth(run, prices) == least_worth(live(run), prices) == min(worths)
    assert set(paths(live(run))) == set(paths(run))
    assert all(any(step in path for path in paths(run)) for step in live(run).steps)


@LAW
@given(run=runs(), count=st.integers(1, 3))
def test_no_way_needs_more_of_a_part_than_may_be_wanted(run: Jointing, count: int) -> None:
    most = most_of({run: count}, {Part(9, 9): 2})
    assert most[Part(9, 9)] == 2
    for path in paths(run):
        assert all(count * parts_of(path).count(part) <= most[part] for part in parts_of(path))
