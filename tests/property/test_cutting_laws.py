"""Laws of cutting to length, and every tiny plan against trying everything."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from service.cutting.effort import EFFORTS, Effort
from service.cutting.records import Need, Plan, Stock
from service.cutting.sticks.solve import solve
from tests.independent.cut_plans import Bar, Wanted, least_by_trying, plan_faults
from tests.strategies.budget import LAW, examples

THOROUGH = EFFORTS["thorough"]

Job = tuple[tuple[Stock, ...], Counter[Need], int]


@st.composite
def stocks(draw: st.DrawFn, *, supply: bool = False) -> tuple[Stock, ...]:
    """One to three stock lengths; the last always without limit and as long as any."""
    lengths = sorted(draw(st.sets(st.integers(30, 100), min_size=1, max_size=3)))
    made = [
        Stock(
            str(k), length, length, draw(st.integers(1, 60)),
            draw(st.none() | st.integers(0, 2)) if supply and k < len(lengths) - 1 else None,
        )
        for k, length in enumerate(lengths)
    ]  # fmt: skip
    return tuple(made)


@st.composite
def jobs(draw: st.DrawFn, *, supply: bool = False, most: int = 7) -> Job:
    """Stock, needs that fit the longest, and a kerf."""
    own = draw(stocks(supply=supply))
    longest = max(stock.usable for stock in own)
    lengths = draw(st.lists(st.integers(8, longest), min_size=1, max_size=most))
    return own, Counter(map(Need, lengths)), draw(st.sampled_from([0, 1, 3]))


def planned(
    own: tuple[Stock, ...], needs: Counter[Need], kerf: int, effort: str = "thorough"
) -> Plan:
    """A plan that the verifier found sound."""
    plan = solve(own, needs, kerf, EFFORTS[effort])
    assert plan is not None
    bars = [Bar(s.usable, s.cost, s.supply) for s in own]
    sticks = [(s.stock, [need.length for need in s.pieces]) for s in plan.sticks]
    wanted = Counter(dict.fromkeys((), 0)) + Counter(n.length for n in needs.elements())
    assert plan_faults(bars, kerf, wanted, sticks, plan.cost) == []
    assert plan.bound <= plan.cost
    return plan


def wanted_of(needs: Counter[Need]) -> list[Wanted]:
    """The needs as the brute force wants them, longest first."""
    pieces = [Wanted(n.length, n.low_factory, n.high_factory) for n in needs.elements()]
    return sorted(pieces, key=lambda piece: -piece.length)


@LAW
@given(job=jobs(), effort=st.sampled_from(sorted(EFFORTS)))
def test_bound_cost_and_optimum_of_tiny_jobs(job: Job, effort: str) -> None:
    """Bound <= least cost of all plans <= cost, under every effort."""
    own, needs, kerf = job
    plan = planned(own, needs, kerf, effort)
    best = least_by_trying([Bar(s.usable, s.cost) for s in own], kerf, wanted_of(needs))
    assert best is not None
    assert plan.bound <= best <= plan.cost
    assert effort != "thorough" or plan.optimal


STARVED = st.builds(
    replace, st.just(THOROUGH), rounds=st.integers(0, 3), dives=st.integers(0, 2),
    nodes=st.integers(0, 40), columns=st.integers(1, 4), states=st.sampled_from([0, 5, 200]),
    inner=st.booleans(),
)  # fmt: skip


@examples(150)
@given(job=jobs(supply=True), effort=STARVED)
def test_a_search_that_was_cut_short_proves_no_more_than_it_has_seen(
    job: Job, effort: Effort
) -> None:
    """However little is tried: bound <= least cost of all plans <= cost, and supply is kept."""
    own, needs, kerf = job
    plan = solve(own, needs, kerf, effort)
    bars = [Bar(s.usable, s.cost, s.supply) for s in own]
    best = least_by_trying(bars, kerf, wanted_of(needs))
    assert best is not None
    assert plan is not None
    assert plan.bound <= best <= plan.cost == sum(own[one.stock].cost for one in plan.sticks)


@LAW
@given(job=jobs(supply=True))
def test_short_supply_is_kept_and_bounded(
    job: Job,
) -> None:
    """Stock at hand, some of it used up: the plan keeps to it and its bound holds."""
    own, needs, kerf = job
    plan = planned(own, needs, kerf)
    bars = [Bar(s.usable, s.cost, s.supply) for s in own]
    assert plan.cost == plan.bound == least_by_trying(bars, kerf, wanted_of(needs))


@LAW
@given(data=st.data())
def test_ends_of_sticks_are_given_once(data: st.DataObject) -> None:
    """Pieces that need a factory end, or both: never two of one end in a stick."""
    own = data.draw(stocks())
    ends = st.tuples(st.booleans(), st.booleans())
    longest = max(stock.usable for stock in own)
    needs: Counter[Need] = Counter()
    for length, (low, high) in data.draw(
        st.lists(st.tuples(st.integers(8, longest), ends), min_size=1, max_size=6)
    ):
        needs[Need(longest if low and high else length, low, high)] += 1
    plan = solve(own, needs, 1, THOROUGH)
    best = least_by_trying([Bar(s.usable, s.cost) for s in own], 1, wanted_of(needs))
    assert plan is not None
    assert best is not None
    assert plan.bound <= best <= plan.cost
    for stick in plan.sticks:
        assert sum(need.low_factory for need in stick.pieces) <= 1
        assert sum(need.high_factory for need in stick.pieces) <= 1


@LAW
@given(job=jobs(most=14), length=st.integers(30, 120), cost=st.integers(1, 60))
def test_more_stock_lengths_never_cost_more(job: Job, length: int, cost: int) -> None:
    """One more length to choose from; both plans proved."""
    own, needs, kerf = job
    few, more = (
        planned(own, needs, kerf),
        planned((*own, Stock("x", length, length, cost)), needs, kerf),
    )
    assert more.bound <= few.cost
    assert not (few.optimal and more.optimal) or more.cost <= few.cost


@LAW
@given(job=jobs(most=14), wider=st.integers(1, 4))
def test_a_wider_kerf_never_costs_less(job: Job, wider: int) -> None:
    """The same pieces with a wider saw; both plans proved."""
    own, needs, kerf = job
    thin, wide = planned(own, needs, kerf), planned(own, needs, kerf + wider)
    assert thin.bound <= wide.cost
    assert not (thin.optimal and wide.optimal) or thin.cost <= wide.cost


@LAW
@given(job=jobs(most=14), by=st.integers(2, 63_500), money=st.integers(2, 100))
def test_scaling_lengths_and_costs_scales_the_plan(job: Job, by: int, money: int) -> None:
    """Another unit of length and another of money: the same sticks."""
    own, needs, kerf = job
    large = tuple(
        replace(s, length=s.length * by, usable=s.usable * by, cost=s.cost * money) for s in own
    )
    grown = Counter({need._replace(length=need.length * by): n for need, n in needs.items()})
    plan, other = planned(own, needs, kerf), planned(large, grown, kerf * by)
    assert (other.cost, other.bound) == (plan.cost * money, plan.bound * money)


@LAW
@given(job=jobs(most=14), seed=st.randoms(use_true_random=False))
def test_the_order_of_needs_changes_nothing(job: Job, seed: object) -> None:
    """Needs counted in another order give the same plan."""
    own, needs, kerf = job
    pieces = list(needs.elements())
    seed.shuffle(pieces)
    assert solve(own, Counter(pieces), kerf, THOROUGH) == solve(own, needs, kerf, THOROUGH)


@LAW
@given(job=jobs(supply=True, most=12))
def test_the_order_of_stocks_changes_no_cost_that_is_proved(job: Job) -> None:
    """The same lengths named in another order, some of them short."""
    own, needs, kerf = job
    plan, other = planned(own, needs, kerf), planned(tuple(reversed(own)), needs, kerf)
    assert plan.bound <= other.cost
    assert other.bound <= plan.cost
    assert not (plan.optimal and other.optimal) or plan.cost == other.cost


@LAW
@given(one=jobs(most=6), other=st.lists(st.integers(8, 30), max_size=6))
def test_pooled_never_costs_more_than_apart(one: Job, other: list[int]) -> None:
    """Two jobs cut together cost no more than each by itself."""
    own, needs, kerf = one
    more = Counter(map(Need, other))
    apart = planned(own, needs, kerf).cost + (planned(own, more, kerf).cost if more else 0)
    assert planned(own, needs + more, kerf).bound <= apart
    assert planned(own, needs + more, kerf).cost <= apart


def test_supply_that_does_not_reach_gives_no_plan() -> None:
    """Two pieces of 60 out of one stick of 100 and none beside it."""
    own = (Stock("0", 100, 100, 1, 1),)
    assert solve(own, Counter({Need(60): 2}), 0, THOROUGH) is None
