"""What a layer gets of lumber: all that can be wanted of it are plain lengths."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from service.products.form import Need as NeedOf
from service.products.goods.lumber.rulings import Task
from service.products.sticks.needs import Lengths


@dataclass(frozen=True, slots=True)
class LumberShare:
    """The stick of each piece, by the piece's id."""

    sticks: Mapping[str, str]


Need = NeedOf[Task, Lengths, LumberShare]
"""Plain lengths of lumber that are wanted in one place."""
