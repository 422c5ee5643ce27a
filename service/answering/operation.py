"""What an operation is: how it reads what was asked, what that costs, and how it answers."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass
from typing import Any, Final, Generic, TypeAlias, TypeVar

from service.report.paper import Paper
from service.schemas.base import Given

JSON: Final = "application/json"
SVG: Final = "image/svg+xml"
CSV: Final = "text/csv"
TEXT: Final = "text/plain"

XLSX: Final = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
PDF: Final = "application/pdf"
DXF: Final = "image/vnd.dxf"

DRAWN: Final = frozenset({SVG, PDF, DXF})
"""Forms that show the drawing: for them a takeoff is drawn."""


@dataclass(frozen=True, slots=True)
class Picked:
    """What of the answer is wanted: its media type.

    For a drawing it may be one surface or layer, for CSV one table; without it, it is the order.
    Text is set on so many `columns`, the usual number where none is named. Of JSON it may be some
    `parts`: these tables, and all that is no table. What is for paper is made for this `paper`.

    `operation` is the name of what is asked. With `only_light`, a heavy job is handed back
    untouched: an outcome of the kind `heavy`.
    """

    media: str = JSON
    surface: str | None = None
    layer: str | None = None
    table: str | None = None
    columns: int | None = None
    paper: Paper | None = None
    parts: tuple[str, ...] = ()
    only_light: bool = False
    operation: str = "takeoffs"

    @property
    def is_drawn(self) -> bool:
        """Whether the form shows the drawing."""
        return self.media in DRAWN

    def wants(self, part: str) -> bool:
        """Whether this part is wanted."""
        return not self.parts or part in self.parts

    def kept(self, answer: dict[str, Any], parts: Collection[str]) -> dict[str, Any]:
        """Of an answer what is wanted: some of its `parts`, and all that is none of them."""
        return {
            name: value for name, value in answer.items() if name not in parts or self.wants(name)
        }


@dataclass(frozen=True, slots=True)
class Rendered:
    """An answer in the form that was picked.

    `gap` is by how much its dearest plan may cost too much, in percent; None without a plan.
    """

    body: bytes
    gap: float | None


Read = TypeVar("Read")


@dataclass(frozen=True, slots=True, kw_only=True)
class Operation(Generic[Read]):
    """What is asked by `POST /v1/<name>`; `id` is its name in the OpenAPI document.

    `read` makes of strict JSON what is to be worked on; `cost` is that work in pieces of plain
    boarding; `answer` does it. Both raise Refusals whose faults point into what was asked, with
    lengths that are written in its `unit`. `request` and `reply` are the published shapes, and
    `examples` the folder of its examples in `openapi/examples`.
    """

    name: str
    id: str
    read: Callable[[object], Read]
    cost: Callable[[Read], int]
    answer: Callable[[Read, Picked], Rendered]
    unit: Callable[[object], str]
    request: Callable[[], type]
    reply: Callable[[], type[Given]]
    examples: str


AnyOperation: TypeAlias = Operation[Any]
