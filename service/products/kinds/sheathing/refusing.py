"""Refusals of sheets that no joints serve: which rule stands in the way, and what would do."""

from __future__ import annotations

from collections.abc import Sequence
from math import atan2, degrees

from service.errors import Cure, Fault, JsonValue, TradeRefused
from service.layout.bearings import Bearing
from service.products.kinds.sheathing.rulings import Task
from service.units.writing import both


def nothing_left(task: Task, text: str) -> TradeRefused:
    """Nothing of the surface is left to be covered (1.1)."""
    return TradeRefused(Fault("nothing-left", text, task.pointer, rule="1.1"))


def blocked(task: Task, key: str | None, value: JsonValue, bearing: int) -> TradeRefused:
    """No joints keep all rules; a `value` of rule `key` would free them, if one would.

    `bearing` is what each of two square ends has on a member (ticks).
    """
    asked = task.rules.panel_end_bearing
    if key == "panel_end_bearing" and bearing < asked:
        return _too_thin(task, value, bearing, asked)
    longest = max(stock.length for stock in task.product.stock)
    text = (
        f"no joints on the members serve sheets up to {both(longest)} long: a joint lies on a "
        "member's centre, pieces keep their least length and bearings, and rows are staggered"
    )
    cure = None
    if key is not None:
        cure = Cure(f"{task.pointer}/rules/{key}", value)
        text += f"; a lower `{key}` would free it"
    return TradeRefused(Fault("sheets-blocked", text, task.pointer, cure=cure, rule="11.5"))


def not_level(task: Task) -> TradeRefused:
    """No line of joints serves all rows that one sheet does not hold (12.3)."""
    at = f"{task.pointer}/end_joints"
    text = (
        "no end joints in the same lines serve all rows: each piece must keep its least length and "
        "bearings, and lie on a member where members are crossed; let the joints be staggered"
    )
    cure = Cure(at, "staggered")
    return TradeRefused(Fault("joints-not-level", text, at, cure=cure, rule="12.3"))


def _too_thin(task: Task, value: JsonValue, bearing: int, asked: int) -> TradeRefused:
    text = (
        "the members are too thin for two sheets to meet on: with the gap of "
        f"{both(task.rules.panel_gap(task.product))} each end bears {both(bearing)}, and "
        f"{both(asked)} is asked for: thicken the members where sheets meet, or lower "
        "`panel_end_bearing`"
    )
    cure = Cure(f"{task.pointer}/rules/panel_end_bearing", value)
    return TradeRefused(
        Fault(
            "sheets-blocked", text, task.pointer, cure=cure, rule="11.1", measure=bearing,
            limit=asked,
        )
    )  # fmt: skip


def askew(task: Task, bearings: Sequence[Bearing], bearing: int) -> TradeRefused | None:
    """Members that cross the sheets at such a slant that no square end lies on one (11.1).

    None if they do not. `bearing` is what each of two square ends has on a member (ticks).
    """
    width = task.product.width
    if not bearings or any(abs(one.slant) * width / 2 <= bearing for one in bearings):
        return None
    at, across = f"{task.pointer}/direction", _across(task)
    text = (
        "the members cross the sheets at a slant, so that no square end lies on one over its "
        f"width of {both(width)}: turn the sheets across the members"
    )
    cure = None if across is None else Cure(at, across)
    return TradeRefused(Fault("sheets-blocked", text, at, cure=cure, rule="11.1"))


def _across(task: Task) -> float | None:
    """The direction across the members as a request has it; None if none was sent."""
    members = task.ground.bearings
    if task.layer.direction is None or not members:
        return None
    facing = degrees(atan2(members[0].b, members[0].a))
    return round((-facing if task.surface.mirrored else facing) % 180, 6)


def check_edges(task: Task) -> None:
    """Refuse sheets whose beads or laps leave nothing of them that could be laid (12.1, 12.2)."""
    product, at = task.product, task.product_pointer
    if product.lap is not None and 2 * product.lap >= product.width:
        text = (
            f"edges that lap {both(product.lap)} leave too little of a sheet {both(product.width)} "
            "wide: a lap is less than half of it"
        )
        raise TradeRefused(Fault("lap-wide", text, f"{at}/lap", rule="12.2", measure=product.lap))
    if product.beads is not None and product.beads.pitch > product.cover:
        pitch = product.beads.pitch
        text = (
            f"beads {both(pitch)} apart are farther apart than a sheet covers, "
            f"{both(product.cover)}: send from one groove to the next"
        )
        pointer = f"{at}/beads/pitch"
        raise TradeRefused(Fault("beads-wide", text, pointer, rule="12.1", measure=pitch))
