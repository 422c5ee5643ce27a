"""The forms that an answer may come in: negotiation, addresses, headers and document read it here.

Each form of an operation has an address of its own, `/v1/takeoffs.csv`; at the operation's own the
same form is had by `?format=csv` or Accept.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Final

from service.answering.operation import CSV, DXF, JSON, PDF, SVG, TEXT, XLSX

_DRAWING_POLICY: Final = "default-src 'none'; style-src 'unsafe-inline'; sandbox"


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """One form: `name` is its word in `?format=`, and what its own address ends in.

    `takes` names the parameters that pick a part of it, or set how it is written. A file of it is
    called `file`, where `{operation}` and `{table}` stand for what was asked; browsers show it, or
    it is `saved`. A form that is no text `is_binary`.
    """

    name: str
    media: str
    takes: tuple[str, ...] = ()
    file: str | None = None
    saved: bool = True
    is_binary: bool = False
    headers: Mapping[str, str] = field(default_factory=dict)

    def headed(self, operation: str, table: str) -> dict[str, str]:
        """The headers of an answer in this form."""
        if self.file is None:
            return dict(self.headers)
        file = self.file.format(operation=operation.removesuffix("s"), table=table)
        way = "attachment" if self.saved else "inline"
        return {**self.headers, "Content-Disposition": f'{way}; filename="{file}"'}

    @property
    def schema(self) -> dict[str, Any]:
        """The published schema of a form that is no JSON."""
        return {"type": "string", "format": "binary"} if self.is_binary else {"type": "string"}


JSON_FORM: Final = Form(name="json", media=JSON, takes=("tables",))

FORMS: Final = (
    JSON_FORM,
    Form(name="svg", media=SVG, takes=("surface", "layer", "paper"), file="{operation}.svg",
         saved=False, headers={"Content-Security-Policy": _DRAWING_POLICY}),
    Form(name="csv", media=CSV, takes=("tables",), file="{table}.csv"),
    Form(name="txt", media=TEXT, takes=("columns",), file="{operation}.txt", saved=False),
    Form(name="xlsx", media=XLSX, takes=("paper",), file="{operation}.xlsx", is_binary=True),
    Form(name="pdf", media=PDF, takes=("paper",), file="{operation}.pdf", saved=False,
         is_binary=True),
    Form(name="dxf", media=DXF, takes=("surface",), file="{operation}.dxf"),
)  # fmt: skip
"""All forms, in the order of preference where a client takes several."""

BY_NAME: Final[Mapping[str, Form]] = {form.name: form for form in FORMS}
BY_MEDIA: Final[Mapping[str, Form]] = {form.media: form for form in FORMS}
