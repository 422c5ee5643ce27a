"""From need to purchase, exact at every step, and what is shared out."""

from fractions import Fraction

from hypothesis import example, given
from hypothesis import strategies as st

from service.order.lines import Bought, bought
from service.order.shares import shared_out


def test_cull_is_a_share_of_what_is_bought() -> None:
    """100 at 15 % is 117.6, so 118; adding 15 % would give 115 (arithmetic)."""
    assert bought(100, cull=Fraction(15, 100)).buy == 118


def test_every_step_is_kept_apart() -> None:
    line = bought(9, cull=Fraction(1, 10), spare=2, per_package=5)
    assert (line.need, line.cull, line.spare, line.buy, line.packages) == (9, 1, 2, 15, 3)
    assert line.left_over == 3


def test_loss_rounds_up_exactly() -> None:
    """20 x 1.05 = 21 exactly; a float product would ask for 22."""
    assert bought(20, loss=Fraction(5, 100)).buy == 21


def test_only_packages_are_rounded() -> None:
    """19 pieces at 4-1/2 a pack are 5 packs, as 18 are 4; 5 a pack would make it 4 (0.2, 19.1)."""
    line = bought(19, per_package=Fraction(9, 2))
    assert (line.packages, line.buy, line.left_over) == (5, 22, 3)
    assert bought(18, per_package=Fraction(9, 2)).packages == 4


def test_nothing_needs_nothing() -> None:
    nothing = bought(0, cull=Fraction(1, 10), spare=3, per_package=5)
    assert nothing == Bought(0, 0, 0, 0, 0, 0, 5)


@given(
    need=st.integers(1, 400), cull=st.integers(0, 90), spare=st.integers(0, 9),
    loss=st.integers(0, 50), pack=st.integers(1, 60) | st.fractions(Fraction(1, 4), 60),
)  # fmt: skip
def test_each_step_is_the_least_whole_number_that_does(
    need: int, cull: int, spare: int, loss: int, pack: int | Fraction
) -> None:
    """Of need and cull a share is good, and that is the need; loss is a share of the need.

    A pack by weight may hold any number: all whole pieces in the packs are bought, and a pack less
    would be too few.
    """
    line = bought(need, cull=Fraction(cull, 100), spare=spare, loss=Fraction(loss, 100),
                  per_package=pack)  # fmt: skip
    assert (line.need, line.spare, line.per_package) == (need, spare, pack)
    assert (need + line.cull) * (100 - cull) >= 100 * need
    assert line.cull == 0 or (need + line.cull - 1) * (100 - cull) < 100 * need
    assert 100 * line.loss >= need * loss
    assert line.loss == 0 or 100 * (line.loss - 1) < need * loss
    steps = need + line.cull + spare + line.loss
    assert line.buy <= line.packages * pack < line.buy + 1
    assert (line.packages - 1) * pack < steps
    assert 0 <= line.left_over == line.buy - steps < pack


@given(total=st.integers(0, 200), weights=st.lists(st.integers(0, 9), max_size=6))
@example(total=10, weights=[5, 3, 3])
@example(total=7, weights=[0, 0, 0])
@example(total=2, weights=[1, 1, 1])
@example(total=7, weights=[])
def test_what_is_left_over_goes_to_the_largest_remainders(total: int, weights: list[int]) -> None:
    """Each gets its exact share without its fraction; then one more, the largest fraction first.

    Ties go to the earlier one; where nothing weighs anything all weigh alike (19.2).
    """
    shares = shared_out(total, weights)
    if not weights:
        assert shares == []
        return
    parts = weights if any(weights) else [1 for _ in weights]
    exact = [Fraction(total * part, sum(parts)) for part in parts]
    more = [share - int(own) for share, own in zip(shares, exact, strict=True)]
    assert sum(shares) == total
    assert set(more) <= {0, 1}
    order = sorted(range(len(parts)), key=lambda k: (int(exact[k]) - exact[k], k))
    assert [more[k] for k in order] == sorted(more, reverse=True)
