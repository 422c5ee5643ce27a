"""The mix of packs: held against every other mix, one by one (19.3)."""

from __future__ import annotations

from fractions import Fraction
from itertools import product

from hypothesis import given
from hypothesis import strategies as st

from service.order.packs import MOST_STEPS, Pack, best_mix
from tests.strategies.budget import examples

SIZES = st.lists(st.integers(1, 12), min_size=1, max_size=3, unique=True)


def every_mix(need: int, packs: list[Pack]) -> list[tuple[int, ...]]:
    """All mixes that hold a need with no pack too many of its own size."""
    most = [range(-(-need // int(pack.holds)) + 1) for pack in packs]
    return [mix for mix in product(*most) if held(mix, packs) >= need]


def held(mix: tuple[int, ...], packs: list[Pack]) -> int:
    return sum(int(pack.holds) * count for pack, count in zip(packs, mix, strict=True))


def cost(mix: tuple[int, ...], packs: list[Pack]) -> Fraction:
    return sum((pack.price or Fraction(0)) * n for pack, n in zip(packs, mix, strict=True)) * 1


@given(need=st.integers(0, 40), sizes=SIZES, cents=st.lists(st.integers(1, 900), min_size=3))
@examples(60)
def test_no_mix_is_cheaper_and_none_as_cheap_leaves_less(
    need: int, sizes: list[int], cents: list[int]
) -> None:
    packs = [Pack(size, Fraction(cent, 100)) for size, cent in zip(sizes, cents, strict=False)]
    chosen = tuple(best_mix(need, packs))
    best = min((cost(mix, packs), held(mix, packs), sum(mix)) for mix in every_mix(need, packs))
    assert (cost(chosen, packs), held(chosen, packs), sum(chosen)) == best


@given(need=st.integers(0, 40), sizes=SIZES)
@examples(60)
def test_without_prices_less_than_the_smallest_pack_is_left(need: int, sizes: list[int]) -> None:
    """A price on some sizes alone chooses nothing: it counts as none."""
    packs = [Pack(size, Fraction(1) if k else None) for k, size in enumerate(sizes)]
    chosen = tuple(best_mix(need, packs))
    assert need <= held(chosen, packs) < need + min(sizes)
    best = min((held(mix, packs), sum(mix)) for mix in every_mix(need, packs))
    assert (held(chosen, packs), sum(chosen)) == best


def test_a_need_beyond_what_is_tried_pack_by_pack_is_held() -> None:
    """1 000 001 pieces in packs of 7 and 10: none is left, and no pack of 7 more than nine."""
    chosen = best_mix(1_000_001, [Pack(7), Pack(10)])
    assert 7 * chosen[0] + 10 * chosen[1] == 1_000_001
    assert MOST_STEPS < 1_000_001
    assert chosen[0] < 10


def test_packs_by_weight_hold_part_of_a_piece() -> None:
    """145 a pound: 300 pieces are 2.07 lb, so three packs of a pound; of half a pound five."""
    assert best_mix(300, [Pack(145)]) == [3]
    assert best_mix(300, [Pack(Fraction(145, 2))]) == [5]
