"""The request's shape, assembled from what all kinds ask for."""

from __future__ import annotations

from functools import cache, reduce
from operator import or_
from typing import Annotated, Any

from pydantic import BaseModel, Field, create_model
from pydantic.json_schema import models_json_schema

from service.products import registry
from service.schemas.job import JobBase
from service.schemas.published_json import PublishedSchema
from service.schemas.surface import SurfaceBase

MOST_SURFACES = 60
MOST_LAYERS = 8
MOST_PRODUCTS = 60


def job_model() -> type[BaseModel]:
    """The model of a whole request, over all registered kinds."""
    return _job_model(tuple(registry.names()))


@cache
def _job_model(names: tuple[str, ...]) -> type[BaseModel]:
    kinds = [registry.all_kinds()[name] for name in names]
    rules: Any = _rules([kind.rules for kind in kinds])
    layer: Any = _one_of([kind.layer for kind in kinds], "kind")
    product: Any = _one_of([form.spec for form in registry.forms().values()], "form")
    surface: Any = create_model(
        "Surface",
        __base__=SurfaceBase,
        __doc__="One area: its measure, what it hangs on, and its layers from the framing outward.",
        layers=(Annotated[list[layer], Field(min_length=1, max_length=MOST_LAYERS)], ...),
        rules=(rules | None, Field(None, description="Rules for this surface.")),
    )
    return create_model(
        "Job",
        __base__=JobBase,
        __doc__="A job: surfaces with their layers, the products they are made of, and rules.",
        surfaces=(Annotated[list[surface], Field(min_length=1, max_length=MOST_SURFACES)], ...),
        products=(Annotated[list[product], Field(min_length=1, max_length=MOST_PRODUCTS)], ...),
        rules=(rules | None, Field(None, description="Rules for the whole job.")),
    )


def _rules(models: list[type]) -> type[BaseModel]:
    """The rules of all kinds in one shape."""
    if len(models) == 1:
        return create_model("Rules", __base__=models[0], __doc__="Trade rules that can be set.")
    return create_model("Rules", __base__=tuple(models), __doc__="Trade rules that can be set.")


def _one_of(models: list[type], key: str) -> Any:
    """A union told apart by `key`."""
    if len(models) == 1:
        return models[0]
    return Annotated[reduce(or_, models), Field(discriminator=key)]


def job_schema() -> dict[str, Any]:
    """The JSON schema of a request, with its `$defs`."""
    model = job_model()
    _, whole = models_json_schema(
        [(model, "validation")], ref_template="#/$defs/{model}", schema_generator=PublishedSchema
    )
    defs = dict(whole["$defs"])
    return {**defs.pop("Job"), "$defs": defs}
