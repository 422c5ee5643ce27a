"""The second opinion's own regions and courses, against areas worked by hand.

The figures are those of `tests/reference/scenarios.json`, taken without the service.
"""

from __future__ import annotations

import pytest

from tests.independent import reader
from tests.independent.asked import layers
from tests.independent.measure import TICKS, ticks
from tests.reference.test_scenarios import RUN, SCENARIOS, request_of


@pytest.mark.parametrize("name", [name for name in RUN if name != "S09"])
def test_regions(name: str) -> None:
    """Gross, net and installed of each scenario."""
    expected, unit = SCENARIOS[name]["expected"], SCENARIOS[name]["units"]
    found = layers(request_of(name))
    per = TICKS[unit] ** 2
    sums = {
        "gross_area": sum(layer.seen.outline.area for layer in found) / per,
        "net_area": sum(layer.seen.net.area for layer in found) / per,
        "installed_area": sum(layer.room().area for layer in found) / per,
    }
    for key, area in sums.items():
        assert area == pytest.approx(expected[key], rel=1e-6), key


@pytest.mark.parametrize("name", ["S01", "S02", "S03", "S05", "S14", "S16", "S19"])
def test_courses(name: str) -> None:
    """Number and first rip from the width across alone."""
    expected, unit = SCENARIOS[name]["expected"], SCENARIOS[name]["units"]
    (layer,) = layers(request_of(name))
    net = ticks(expected["across"], unit)
    widths = reader.course_widths(layer, net)
    assert len(widths) == expected["courses"]
    assert sum(widths) == net
    first = expected["first_rip"] or SCENARIOS[name]["boards"]["face_width"]
    assert widths[0] == ticks(first, unit)
