"""What may be asked with a body over HTTP: its addresses, its forms, and how it is told.

An `Asking` is one operation as HTTP has it. Its routes follow from its forms: `POST /v1/takeoffs`
gives JSON or what is negotiated, `POST /v1/takeoffs.csv` that form alone.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass
from inspect import Parameter, Signature
from typing import Any

from fastapi import APIRouter, Request, Response

from service.answering.operation import JSON, AnyOperation
from service.api import accept
from service.api.forms import BY_MEDIA, BY_NAME, Form
from service.api.parameters import (
    FORMAT,
    PARTS,
    check_known,
    check_taken,
    table,
    tables,
    unfit,
    untold,
)
from service.api.work import Work
from service.compute import Picked


@dataclass(frozen=True, slots=True, kw_only=True)
class Asking:
    """One operation that takes a body, as HTTP has it.

    `body` says what is sent, and `forms` of each form that it has, by name, what it is; JSON is the
    first. `tables` are those of CSV, of which the `usual` is sent where none is named; `parts` are
    what of the JSON answer may be asked for by itself.
    """

    operation: AnyOperation
    tag: str
    summary: str
    description: str
    body: str
    forms: Mapping[str, str]
    tables: Collection[str]
    usual: str
    parts: Collection[str]

    @property
    def path(self) -> str:
        """Where it is asked for."""
        return f"/v1/{self.operation.name}"

    @property
    def routes(self) -> Iterator[Route]:
        """Its own address, then that of each form."""
        yield Route(self, None)
        for name in self.forms:
            yield Route(self, BY_NAME[name])

    def parameter(self, name: str, form: Form) -> Any:
        """A query parameter of one of its forms, with its type."""
        if name != "tables":
            return PARTS[name]
        return tables(self.parts) if form.media == JSON else table(self.tables, self.usual)


@dataclass(frozen=True, slots=True)
class Route:
    """One address of an operation: its own, or that of a `form`."""

    asking: Asking
    form: Form | None

    @property
    def path(self) -> str:
        """The address."""
        return self.asking.path if self.form is None else f"{self.asking.path}.{self.form.name}"

    @property
    def id(self) -> str:
        """Its name in the document: `takeOff`, `takeOffAsCsv`."""
        own = self.asking.operation.id
        return own if self.form is None else f"{own}As{self.form.name.title()}"

    @property
    def summary(self) -> str:
        """What it does, in few words."""
        own = self.asking.summary
        return own if self.form is None else f"{own}, as {self.form.name.upper()}"

    @property
    def description(self) -> str:
        """What it does, and where what it does not say is said."""
        path = self.asking.path
        if self.form is not None:
            return f"{self.asking.forms[self.form.name]} Asked as `{path}` is."
        others = ", ".join(f"`{path}.{name}`" for name in self.asking.forms)
        return (
            f"{self.asking.description} Its forms have addresses of their own, with what picks a "
            f"part of each: {others}. Here Accept or `?format=` gives them too."
        )

    @property
    def parameters(self) -> Mapping[str, Any]:
        """Its query parameters; what goes with a form is told at the form's own address."""
        if self.form is not None:
            return {name: self.asking.parameter(name, self.form) for name in self.form.takes}
        known = {
            name: untold(self.asking.parameter(name, BY_NAME[one]))
            for one in reversed(list(self.asking.forms))
            for name in BY_NAME[one].takes
        }
        return {"format": FORMAT, **known}


def router(asking: Asking, work: Work) -> APIRouter:
    """The routes of an operation, over where its work is done."""
    routes = APIRouter()
    for route in asking.routes:
        routes.add_api_route(
            route.path, _endpoint(route, work), methods=["POST"], operation_id=route.id,
            tags=[asking.tag], response_model=None, summary=route.summary,
            description=route.description,
        )  # fmt: skip
    return routes


def _endpoint(route: Route, work: Work) -> Callable[..., Any]:
    asking = route.asking

    async def ask(request: Request, **sent: Any) -> Response:
        form = route.form or _negotiated(request, asking, sent)
        what = picked(asking, form, sent)
        headers = form.headed(asking.operation.name, what.table or asking.usual)
        return await work.answered(request, what, headers)

    # The framework reads parameters from the signature; here they are data.
    ask.__signature__ = _signature(route.parameters)  # type: ignore[attr-defined]  # it has one
    return ask


def _negotiated(request: Request, asking: Asking, sent: Mapping[str, Any]) -> Form:
    available = [BY_NAME[name].media for name in asking.forms]
    return BY_MEDIA[accept.choose(request.headers.get("accept"), sent["format"], available)]


def _signature(parameters: Mapping[str, Any]) -> Signature:
    request = Parameter("request", Parameter.POSITIONAL_OR_KEYWORD, annotation=Request)
    asked = [
        Parameter(name, Parameter.KEYWORD_ONLY, default=None, annotation=kind)
        for name, kind in parameters.items()
    ]
    return Signature([request, *asked])


def picked(asking: Asking, form: Form, sent: Mapping[str, Any]) -> Picked:
    """What of an answer is wanted. Raises Declined (422) for a part that the form does not have."""
    check_taken(form, sent, asking.forms)
    named = tuple((sent.get("tables") or "").split(",")) if sent.get("tables") else ()
    is_json = form.media == JSON
    check_known(named, asking.parts if is_json else asking.tables)
    if not is_json and len(named) > 1:
        raise unfit("`tables` is one table of the CSV, or several of the JSON.", "name one table.")
    return Picked(
        media=form.media,
        surface=sent.get("surface"),
        layer=sent.get("layer"),
        table=named[0] if named and not is_json else None,
        columns=sent.get("columns"),
        paper=sent.get("paper"),
        parts=named if is_json else (),
        operation=asking.operation.name,
    )
