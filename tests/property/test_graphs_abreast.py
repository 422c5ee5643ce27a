"""The cheapest ways through graphs side by side are those through each by itself."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from service.joints.abreast import Abreast
from service.joints.graph import Graph
from tests.strategies.budget import examples

NEEDS = 6


@st.composite
def graphs(draw: st.DrawFn) -> Graph:
    """Up to eight nodes; from each to any after it there may be a piece; joints may be few."""
    last = draw(st.integers(1, 7))
    arcs = tuple(
        tuple(
            (to, draw(st.integers(0, NEEDS - 1)))
            for to in range(node + 1, last + 1)
            if draw(st.integers(0, 3))
        )
        for node in range(last + 1)
    )
    bits = (0, *(1 << node for node in range(last - 1)), 0)
    most = draw(st.sampled_from([None, None, 0, 1, 2]))
    return Graph(tuple(range(last + 1)), arcs, bits).with_most(most)


PRICE = st.sampled_from([0.0, 0.1, 0.2, 0.3, 1.0, 2.5])


@examples(60)
@given(data=st.data(), several=st.lists(graphs(), min_size=1, max_size=6))
def test_ways_through_graphs_abreast_are_those_through_each(
    data: st.DataObject, several: list[Graph]
) -> None:
    """To the last bit, with the first of ways that cost the same; twice, since nothing is kept."""
    abreast = Abreast(several)
    for _ in range(2):
        prices = data.draw(st.lists(PRICE, min_size=NEEDS, max_size=NEEDS))
        nodes = [
            data.draw(st.lists(PRICE, min_size=len(one.places), max_size=len(one.places)))
            for one in several
        ]
        alone = [one.best(prices, own) for one, own in zip(several, nodes, strict=True)]
        assert abreast.best(prices, nodes) == alone
