"""What is said of prices and packs before anything is ordered (8.8, 19.1, 19.3)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import chain

from service.errors import Finding
from service.products.bought_rows import OrderRow
from service.products.goods.fastener.spec import FastenerProduct
from service.products.layer import Product
from service.products.remarks import Remarks
from service.takeoff.job import Job


def say_of_order(job: Job, lines: Sequence[OrderRow], said: Remarks) -> None:
    """Say where prices are not told for all sizes, or in no currency, and counts are reckoned."""
    bought = dict.fromkeys(line.product for line in lines)
    specs = [job.products[name][0] for name in bought]
    for one in chain.from_iterable(map(_of_prices, specs)):
        said.find(one)
    for spec in specs:
        if isinstance(spec, FastenerProduct) and _reckoned(spec):
            said.find(_by_diameter(spec))
    if job.currency is None and any(line.price for line in lines):
        said.find(
            Finding(
                "no-currency",
                "job",
                "prices were sent and no `currency`: they are added up as they are, in whatever "
                "money they were meant",
                rule="19.3",
            )
        )


def _of_prices(spec: Product) -> Iterator[Finding]:
    """A product of which some sizes have a price and others none: nothing is chosen by price."""
    chosen_by = (("stock", "by length, not by cost", "8.8"),
                 ("packs", "by what is left over", "19.3"))  # fmt: skip
    for key, chosen, number in chosen_by:
        sizes = getattr(spec, key, None) or ()
        priced = sum(one.price is not None for one in sizes)
        if 0 < priced < len(sizes):
            yield Finding(
                "prices-partial",
                spec.id,
                f"{priced} of the {len(sizes)} sizes in `{key}` have a price: what is bought is "
                f"chosen {chosen}; send a price for each of them, or for none",
                rule=number,
            )


def _reckoned(spec: FastenerProduct) -> bool:
    """Whether what a pack by weight holds is reckoned, and not printed on it."""
    by_weight = spec.pounds or any(one.pounds for one in spec.packs or ())
    return bool(by_weight) and spec.per_pound is None and spec.diameter is not None


def _by_diameter(spec: FastenerProduct) -> Finding:
    return Finding(
        "count-by-diameter",
        spec.id,
        "no count by the pound was sent: it is reckoned from the diameter of a plain steel shank, "
        "and real counts run within about 15 % of that; send `per_pound` as it is printed",
        rule="19.1",
    )
