"""Net free vent area of a strip: its mean length times what its sheet gives for so much (3.18).

What is asked is compared with it, and never advised.
"""

from __future__ import annotations

from fractions import Fraction

from service.errors import Finding
from service.products.kinds.trim.records import LaidTrim
from service.products.kinds.trim.section import section_of
from service.products.remarks import Remarks
from service.schemas.venting import vent_area


def free_area(layer: LaidTrim) -> int | None:
    """Half square ticks of all lengths of a layer; None where the sheet of the product says none.

    Those that are up already are of it. A mitred strip is as long as its middle line.
    """
    rate = section_of(layer.task).free_area
    if rate is None:
        return None
    wide, up = layer.detail.wide, layer.detail.up
    there = sum(strip.twice_area for one in up for strip in one.strips(wide))
    return round(rate * Fraction(layer.areas.installed + there, wide))


def say_vented(layer: LaidTrim, said: Remarks) -> None:
    """What is asked beside what the strip gives, where it is less or not known."""
    task, asked, given = layer.task, layer.task.layer.free_area, free_area(layer)
    if asked is None:
        return
    wanted = vent_area(round(asked), task.unit)
    if given is None:
        text = (
            f"{wanted} of net free vent area is asked, and what {task.product.id} gives is not "
            "known: its own sheet says it, for the product's `free_area`"
        )
        said.find(Finding("free-area-unknown", task.at, text, rule="3.18"))
    elif given < asked:
        text = (
            f"the strip gives {vent_area(given, task.unit)} of net free vent area, and {wanted} is "
            "asked"
        )
        said.find(Finding("free-area-short", task.at, text, rule="3.18"))
