"""Laws of courses: easier terms never cost more where both plans are proved, nor beat a bound.

A plan that is not proved may be any sound one, so of those only this is known: the bound of the
easier job is not over the cost of the harder one.
"""

from __future__ import annotations

from dataclasses import replace

from hypothesis import assume, given
from hypothesis import strategies as st

from service.cutting.effort import EFFORTS
from service.cutting.records import Stock
from service.joints.job import Pool
from service.joints.records import Jointed, JointRun
from service.joints.solve import place_joints
from tests.property.test_course_layouts import RULES, STOCKS, courses, verified
from tests.strategies.budget import FEW

KERF = 1

LENGTHS = st.integers(100, 300)
COUNTS = st.integers(2, 12)


def pool_of(length: int, count: int, stocks: tuple[Stock, ...], kerf: int = KERF) -> Pool:
    return Pool(courses(length, count), (RULES,), stocks, kerf)


def laid(pool: Pool, effort: str = "standard") -> Jointed:
    """A layout; examples without one say nothing here."""
    made = place_joints(pool, EFFORTS[effort])
    assume(isinstance(made, Jointed))
    assert isinstance(made, Jointed)
    return made


def never_more(easier: Jointed, harder: Jointed) -> None:
    assert easier.plan.bound <= harder.plan.cost
    if easier.plan.optimal and harder.plan.optimal:
        assert easier.plan.cost <= harder.plan.cost


@FEW
@given(length=LENGTHS, count=COUNTS, stocks=STOCKS, more=st.sampled_from([56, 72, 104, 136]))
def test_a_further_stock_length_never_costs_more(
    length: int, count: int, stocks: tuple[Stock, ...], more: int
) -> None:
    """Runs may be jointed as is cheapest, so what could be laid before still can be."""
    rules = (replace(RULES, whole_where_it_fits=False),)
    plain = replace(pool_of(length, count, stocks), rules=rules)
    wider = replace(plain, stocks=(*stocks, Stock("x", more, more, more * 101)))
    never_more(laid(wider), laid(plain))


@FEW
@given(length=LENGTHS, count=COUNTS, stocks=STOCKS, wider=st.integers(1, 4))
def test_a_wider_kerf_never_costs_less(
    length: int, count: int, stocks: tuple[Stock, ...], wider: int
) -> None:
    never_more(
        laid(pool_of(length, count, stocks)), laid(pool_of(length, count, stocks, KERF + wider))
    )


@FEW
@given(length=LENGTHS, count=COUNTS, stocks=STOCKS, by=st.integers(2, 500))
def test_scaling_all_lengths_changes_no_joint(
    length: int, count: int, stocks: tuple[Stock, ...], by: int
) -> None:
    plain = pool_of(length, count, stocks)
    made, large = laid(plain), laid(scaled(plain, by))
    assert (large.plan.cost, large.plan.bound) == (made.plan.cost, made.plan.bound)
    joints = [[cut.low * by for cut in own] for own in made.cuts]
    assert [[cut.low for cut in own] for own in large.cuts] == joints


def scaled(pool: Pool, by: int) -> Pool:
    """The same job in a finer unit; the unit stays coarse enough that no length is rounded."""
    rules = replace(
        RULES,
        min_piece=RULES.min_piece * by, stagger=RULES.stagger * by, repeat=RULES.repeat * by,
        min_touch=RULES.min_touch * by,
    )  # fmt: skip
    runs = tuple(
        replace(
            run,
            low=run.low * by, high=run.high * by, stations=tuple(s * by for s in run.stations),
            line=replace(
                run.line, stations=tuple(s * by for s in run.line.stations), half=run.line.half * by
            ),
        )
        for run in pool.runs
    )  # fmt: skip
    stocks = tuple(replace(s, length=s.length * by, usable=s.usable * by) for s in pool.stocks)
    return Pool(runs, (rules,), stocks, pool.kerf * by)


@FEW
@given(length=LENGTHS, count=st.integers(4, 14), at=st.integers(2, 6), stocks=STOCKS)
def test_splitting_a_room_at_a_course_line(
    length: int, count: int, at: int, stocks: tuple[Stock, ...]
) -> None:
    """Two rooms, free of each other's joints, bought together: easier than the whole room, and
    easier than each bought by itself."""
    assume(at < count)
    whole = laid(pool_of(length, count, stocks))
    first, second = courses(length, at), courses(length, count - at)
    both = Pool((*first, *(replace(run, stack=1) for run in second)), (RULES, RULES), stocks, KERF)
    together = laid(both)
    apart = [laid(replace(both, runs=runs, rules=(RULES,))) for runs in (first, second)]
    never_more(together, verified(pool_of(length, count, stocks), whole))
    cost = sum(part.plan.cost for part in apart)
    assert together.plan.bound <= cost
    if together.plan.optimal:
        assert together.plan.cost <= cost


@FEW
@given(length=LENGTHS, count=COUNTS, stocks=STOCKS, step=st.sampled_from([0, 3, 16]))
def test_counted_from_the_other_wall_and_with_stocks_in_another_order(
    length: int, count: int, stocks: tuple[Stock, ...], step: int
) -> None:
    """The same room, one wall of it slanting: equal costs where both plans are proved."""
    lengths = [length + k * step for k in range(count)]
    plain = Pool(slanting(lengths), (RULES,), stocks, KERF)
    turned = Pool(slanting(lengths[::-1]), (RULES,), tuple(reversed(stocks)), KERF)
    one, other = laid(plain), laid(turned)
    never_more(one, other)
    never_more(other, one)


def slanting(lengths: list[int]) -> tuple[JointRun, ...]:
    """A run of each length, course after course."""
    return tuple(courses(length, 1, k)[0] for k, length in enumerate(lengths, 1))
