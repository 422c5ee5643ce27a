"""What may stand behind the path of an operation that takes a body: which part of which form."""

from __future__ import annotations

import copy
from collections.abc import Collection, Mapping
from typing import Annotated, Any, Final

from fastapi import Query

from service.api.forms import BY_NAME, Form
from service.api.problems import Declined
from service.report import paper as printed
from service.report.printout.columns import NARROWEST, USUAL, WIDEST

_NAME: Final = r"^[a-z0-9_-]{1,32}$"
_TABLE: Final = r"^[a-z_]{1,32}$"
_TABLES: Final = r"^[a-z_]{1,32}(,[a-z_]{1,32}){0,49}$"

FORMAT: Final = Annotated[str | None, Query(max_length=8, include_in_schema=False)]
"""The form of the answer, before Accept."""

PARTS: Final[Mapping[str, Any]] = {
    "surface": Annotated[
        str | None,
        Query(description="Only this surface, by its id.", pattern=_NAME, max_length=32),
    ],
    "layer": Annotated[
        str | None,
        Query(description="Only this layer, by its id.", pattern=_NAME, max_length=32),
    ],
    "columns": Annotated[
        int | None,
        Query(
            description=f"How many characters a line may have; without it {USUAL}.",
            ge=NARROWEST,
            le=WIDEST,
        ),
    ],
    "paper": Annotated[
        printed.Paper | None,
        Query(
            description="The paper that it is made for. Without it a drawing is for letter, all "
            "else for A4 where lengths are metric and for letter where they are not.",
        ),
    ],
}
"""What picks a part of some form, or sets how it is written, with its type."""


def table(names: Collection[str], usual: str) -> Any:
    """The one table that a form shows; without it, the `usual`."""
    text = f"This table of the answer, by its name; without it, `{usual}`."
    query = Query(
        description=text, pattern=_TABLE, max_length=32, json_schema_extra={"enum": list(names)}
    )
    return Annotated[str | None, query]


def tables(names: Collection[str]) -> Any:
    """Some tables of the answer."""
    text = (
        "Only these tables of the answer, by their names with commas between them, besides what is "
        f"no table: {', '.join(names)}. Without it, all."
    )
    return Annotated[str | None, Query(description=text, pattern=_TABLES, max_length=1_000)]


def untold(parameter: Any) -> Any:
    """The same parameter, read as well, and left out of the document."""
    (query,) = parameter.__metadata__
    hidden = copy.copy(query)
    hidden.include_in_schema = False
    return Annotated[parameter.__origin__, hidden]


def check_taken(form: Form, sent: Mapping[str, Any], forms: Collection[str]) -> None:
    """Raise Declined (422) for a part that the form does not have, and say which of `forms` has."""
    for name, value in sent.items():
        if value is None or name == "format" or name in form.takes:
            continue
        fit = " or ".join(f"?format={one}" for one in forms if name in BY_NAME[one].takes)
        raise unfit(
            f"`{name}` goes with {fit}: the answer was asked for as {form.name}.",
            f"{name} goes with {fit}.",
        )


def check_known(asked: Collection[str], known: Collection[str]) -> None:
    """Raise Declined (422) for a table that there is not."""
    for name in asked:
        if name not in known:
            raise unfit(f"The answer has no table `{name}`.", f"tables is of {', '.join(known)}.")


def unfit(meaning: str, detail: str) -> Declined:
    """The problem of a parameter that is not right here."""
    return Declined("ShapeRefused", meaning, errors=[{"code": "parameter", "detail": detail}])
