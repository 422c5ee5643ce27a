"""A plan as a DXF document (AutoCAD 2010 form), in true size: one drawing unit is one of its unit.

The library that writes it is loaded where it is asked for. It has no clock and makes up no ids
here: the same plan gives the same bytes.
"""

from __future__ import annotations

import io
import re
from typing import TYPE_CHECKING, Final

from service.report.cad.plan import Line, Outline, Plan, Words
from service.report.printable import printable

if TYPE_CHECKING:
    from ezdxf.layouts.layout import Modelspace

_UNITS: Final = {"in": 1, "mm": 4}
"""$INSUNITS of the units."""

_MEASUREMENT: Final = {"in": 0, "mm": 1}
"""$MEASUREMENT: English or metric hatches and line types."""

_TEXT_GREY: Final = 8


def dxf(plan: Plan) -> bytes:
    """The document."""
    from ezdxf._options import options
    from ezdxf.filemanagement import new

    options.write_fixed_meta_data_for_testing = True
    made = new("R2010", units=_UNITS[plan.unit])
    made.header["$MEASUREMENT"] = _MEASUREMENT[plan.unit]
    for name in dict.fromkeys(one.layer for one in plan.entities):
        made.layers.add(name, color=_TEXT_GREY if name.endswith("-text") else 7)
    space = made.modelspace()
    for entity in plan.entities:
        _write(space, entity)
    for kind in sorted(made.entitydb.dxf_types_in_use()):
        made.classes.add_class(kind)  # the library adds what is missing as its sets are hashed
    page = io.StringIO()
    made.write(page)
    return page.getvalue().encode("utf-8", errors="replace")


def _write(space: Modelspace, entity: Outline | Line | Words) -> None:
    from ezdxf.enums import TextEntityAlignment

    on = {"layer": entity.layer}
    if isinstance(entity, Outline):
        space.add_lwpolyline(entity.spots, close=True, dxfattribs=on)
    elif isinstance(entity, Line):
        space.add_line(entity.start, entity.end, dxfattribs=on)
    else:
        text = space.add_text(literal(entity.text), height=entity.high, dxfattribs=on)
        text.set_placement(entity.at, align=TextEntityAlignment.MIDDLE_CENTER)


def literal(text: str) -> str:
    """A text in which nothing is a code: neither `%%` nor `^` nor a backslash means anything."""
    return re.sub("%(?=%)", "% ", printable(text)).replace("^", "^ ").replace("\\", "/")
