"""From need to purchase, exact at every step."""

from fractions import Fraction

from service.order.lines import bought


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


def test_nothing_needs_nothing() -> None:
    assert bought(0, cull=Fraction(1, 10), spare=3, per_package=5).buy == 0
