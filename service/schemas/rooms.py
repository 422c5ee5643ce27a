"""A sheet of rooms: one rectangular room a row, in columns that a spreadsheet can hold."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Any, Final, Literal, TypeAlias

from pydantic import BeforeValidator, Field, WithJsonSchema
from pydantic_core import PydanticCustomError

from service.schemas.answer import Version
from service.schemas.base import Asked, Given
from service.schemas.described import PLAIN_TEXT
from service.schemas.published import published

MOST_ROWS: Final = 2_000
MOST_CHARACTERS: Final = 200
_MOST: Final = 10_000_000


def _cell(value: Any) -> Any:
    """A text, a number or nothing: all that a cell of a spreadsheet holds."""
    if isinstance(value, str) and len(value) <= MOST_CHARACTERS:
        return value
    is_number = isinstance(value, int | Decimal | float) and not isinstance(value, bool)
    if value is None or (is_number and abs(value) <= _MOST):
        return value
    raise PydanticCustomError(
        "cell",
        "a cell is a number up to 10 000 000, or a text of at most 200 characters",
    )


Cell: TypeAlias = Annotated[
    Any,
    BeforeValidator(_cell),
    WithJsonSchema(
        {
            "anyOf": [
                {"type": "string", "maxLength": MOST_CHARACTERS, "pattern": PLAIN_TEXT},
                {"type": "number", "minimum": -_MOST, "maximum": _MOST},
                {"type": "null"},
            ]
        }
    ),
]


def _column(description: str) -> Any:
    return Field(None, description=description)


class RoomAsked(Asked):
    """One room: a rectangle of boards on framing. An empty cell is as good as none."""

    room: Cell = _column("What the room is called; only repeated.")
    unit: Cell = _column("Needed. Unit of bare numbers, and of the lengths answered: in, ft, mm, "
                         "cm or m.")  # fmt: skip
    type: Cell = _column("ceiling, soffit, wall, floor or deck. Default: ceiling.")
    length: Cell = _column("Needed. A number, or as the trade writes it: 12' 6-1/2\", 3.81 m.")
    width: Cell = _column("Needed. The other side.")
    boards_run: Cell = _column("Needed. `along length` or `along width`.")
    support_spacing: Cell = _column("Needed. Joists, rafters or studs on centre; they run across "
                                    "the boards.")  # fmt: skip
    first_support: Cell = _column("Centre of the first from the corner that is measured from. "
                                  "Default: the spacing.")  # fmt: skip
    opening_along: Cell = _column("An opening in the room: its distance from that corner along the "
                                  "length. All four cells of an opening go together.")  # fmt: skip
    opening_across: Cell = _column("Its distance from that corner along the width.")
    opening_length: Cell = _column("Its size along the length of the room.")
    opening_width: Cell = _column("Its size along the width of the room.")
    board: Cell = _column("What the yard calls the board, at most 100 characters; written into the "
                          "order. Default: board.")  # fmt: skip
    profile: Cell = _column("Needed. tongue_and_groove, shiplap, square_edge or lapped.")
    ends: Cell = _column("square or end_matched. Default: square.")
    overall: Cell = _column("Needed. Actual width of the board over all.")
    coverage: Cell = _column("Width that shows, course to course; needed unless square_edge.")
    thickness: Cell = _column("Needed. Actual thickness of the board.")
    stock: Cell = _column("Needed. Lengths that can be bought, parted by semicolons or bars: "
                          "8 ft; 12 ft; 16 ft.")  # fmt: skip
    prices: Cell = _column("Price of one board of each of these lengths, in their order, parted "
                           "in the same way; none, or one for each.")  # fmt: skip
    currency: Cell = _column("ISO 4217 code of the prices: USD.")
    cull: Cell = _column("Share of the boards that is culled, in %. Default: 0.")
    start: Cell = _column("balanced, balanced_narrow, full_first or equal. Default: the best.")


class RoomsAsked(Asked):
    """A sheet of rooms, each taken off by itself."""

    rows: Annotated[list[RoomAsked], Field(min_length=1, max_length=MOST_ROWS)]


COLUMNS: Final = tuple(RoomAsked.model_fields)
"""The columns that are read."""

Status: TypeAlias = Literal["ok", "refused", "empty", "unanswered"]

RESULTS: Final[dict[str, tuple[Any, str]]] = {
    "status": (Status, "`ok`; `refused`: `error` says what to change; `empty`: no cell is filled; "
               "`unanswered`: the service could not, send this row again."),
    "area": (float | None, "Area to cover, openings taken off, in `area_unit`."),
    "area_unit": (Literal["ft2", "m2"] | None, "ft2 for in and ft, otherwise m2."),
    "courses": (int | None, "Courses of boards."),
    "pieces": (int | None, "Pieces to place."),
    "joints": (int | None, "Joints between ends."),
    "fasteners": (int | None, "Fasteners, all of the room."),
    "sticks": (int | None, "Boards that are cut, before culls."),
    "bought": (float | None, "Length of boards to buy, in `unit`."),
    "buy": (str | None, "What to buy, as a yard picks it."),
    "waste_pct": (float | None, "What is cut off and thrown away, in % of what is bought."),
    "extra_pct": (float | None, "What is bought over what is installed, in %."),
    "price": (str | None, "Of all that, in `currency`; a decimal, so no cent is lost."),
    "findings": (str | None, "Codes of what should be known, parted by spaces: a takeoff of the "
                 "room tells them in full."),
    "error": (str | None, "Why there is no answer, with the column and what would do."),
}  # fmt: skip
"""The columns that are answered: the type of each, and what it is."""

RoomTakenOff: type[Given] = published(
    "RoomTakenOff",
    "One room: the cells that were sent, then what it takes.",
    {
        **{name: (Cell, RoomAsked.model_fields[name].description) for name in COLUMNS},
        **RESULTS,
    },
)

RoomsTakenOff: type[Given] = published(
    "RoomsTakenOff",
    "The rooms in the order in which they were sent.",
    {"version": (Version, None), "rows": (list[RoomTakenOff], None)},  # type: ignore[valid-type]  # made, not stated
)
