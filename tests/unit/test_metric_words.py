"""How a metric job's sentences and tables write lengths that come of inches."""

from __future__ import annotations

from fractions import Fraction

import pytest

from service.report.printout.lengths import Lengths
from service.units.ticks import INCH, MM
from service.units.writing import both, in_system


@pytest.mark.parametrize(("ticks", "metric", "inches"), [
    (INCH // 2, "12.7 mm (1/2 in)", '1/2"'),
    (24 * INCH, "609.6 mm (24 in)", "2' 0\""),
    (-11 * INCH // 8, "-34.9 mm (-1-3/8 in)", '-1-3/8"'),
    (5 * INCH, "127 mm", '5"'),  # whole millimetres need no inches
    (104 * MM + MM // 2, "104.5 mm", '4-1/8"'),  # 4-1/8 in are 104.8
    (742 * MM, "742 mm", "2' 5-7/32\""),
    (0, "0 mm", '0"'),
])  # fmt: skip
def test_lengths_of_inches_are_told_in_metric_jobs(ticks: int, metric: str, inches: str) -> None:
    """1/2 in are 12.7 mm, 24 in 609.6, 1-3/8 in 34.925, by hand."""
    text = f"a gap of {both(ticks)}, no more"
    assert in_system(text, "mm") == f"a gap of {metric}, no more"
    assert in_system(text, "in") == f"a gap of {inches}, no more"


def test_spacings_are_whole_millimetres_from_three_on() -> None:
    """6 in are 152.4 mm, 1/2 in 12.7, 1/16 in 1.6: nobody sets out tenths of a millimetre."""
    told = [Lengths("mm").spacing(float(Fraction(inch) * Fraction(254, 10)))
            for inch in ("6", "1/2", "1/16")]  # fmt: skip
    assert told == ["152 mm", "13 mm", "1.6 mm"]
    assert Lengths("in").spacing(0.5) == '1/2"'
    assert Lengths("mm").spacing(None) == ""
