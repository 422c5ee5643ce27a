"""Every operation that takes work, by its name."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from service.answering.changes import CHANGES
from service.answering.comparisons import COMPARISONS
from service.answering.cut_plans import CUT_PLANS
from service.answering.moisture import MOISTURE
from service.answering.operation import AnyOperation
from service.answering.rows import ROWS
from service.answering.takeoffs import TAKEOFFS

OPERATIONS: Final[Mapping[str, AnyOperation]] = {
    one.name: one for one in (TAKEOFFS, CUT_PLANS, CHANGES, COMPARISONS, ROWS, MOISTURE)
}
