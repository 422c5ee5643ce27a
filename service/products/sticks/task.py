"""A layer that takes stock in sticks, of whatever kind and form."""

from __future__ import annotations

from service.products.layer import Layer, Task
from service.products.rulings import StickRulings
from service.schemas.stock import StickProduct

StickTask = Task[Layer, StickProduct, StickRulings]
"""A layer with the stick product that is asked for, and the rules of its stock."""
