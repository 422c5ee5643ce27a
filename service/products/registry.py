"""Finds the kinds: every folder of `kinds` whose package has a `KIND`.

Further folders may be added (`add_folders`), so that a kind needs no edit elsewhere.
"""

from __future__ import annotations

import hashlib
import pkgutil
from collections.abc import Iterable, Mapping
from functools import cache
from importlib import import_module
from pathlib import Path
from typing import Any, Final

from pydantic import BaseModel, TypeAdapter

from service import RULES_VERSION, __version__
from service.products import kinds as folder
from service.products.clashes import clashes
from service.products.kind import Kind
from service.schemas.fasteners import FastenerProduct
from service.standards import loader

_SHARED: Final[Mapping[str, type]] = {"fastener": FastenerProduct}
"""Forms of product that belong to no kind."""


def add_folders(paths: Iterable[str]) -> None:
    """Also look for kinds in `paths`; each is a folder that holds one package a kind."""
    for path in paths:
        if path not in folder.__path__:
            folder.__path__.append(path)
    all_kinds.cache_clear()
    rules_digest.cache_clear()


@cache
def all_kinds() -> dict[str, Kind]:
    """Every kind by name; ValueError, with both places, where two cannot stand together."""
    found = []
    for module in sorted(pkgutil.iter_modules(folder.__path__), key=lambda m: m.name):
        kind = getattr(import_module(f"{folder.__name__}.{module.name}"), "KIND", None)
        if isinstance(kind, Kind):
            found.append(kind)
    if told := clashes(found, _SHARED):
        raise ValueError("; ".join(told))
    return {kind.name: kind for kind in found}


def forms() -> dict[str, type]:
    """Every product shape by form: the kinds' own, and the fasteners that all share."""
    found = dict(_SHARED)
    for kind in all_kinds().values():
        found |= kind.forms
    return dict(sorted(found.items()))


def names() -> list[str]:
    """Names of the kinds."""
    return list(all_kinds())


def describe(name: str) -> dict[str, Any]:
    """One kind: its title, forms, rules with their defaults and its schemas; KeyError if none."""
    kind = all_kinds()[name]
    return {
        "kind": kind.name,
        "title": kind.title,
        "forms": sorted(kind.forms),
        "rules": _rules(kind),
        "layer_schema": _schema(kind.layer),
        "product_schemas": {form: _schema(shape) for form, shape in sorted(kind.forms.items())},
        "cautions": list(kind.cautions),
        "not_computed": list(kind.not_computed),
    }


def _schema(shape: type) -> dict[str, Any]:
    return TypeAdapter(shape).json_schema()


_FORMS = ("value", "word", "count", "number", "of", "count_of")
"""How a table may write a default."""


def _written(entry: Mapping[str, Any]) -> Any:
    """A default as its table writes it, with the one of metric jobs where that is another."""
    default = next(entry[form] for form in _FORMS if form in entry)
    return f"{default}; {entry['metric']} in metric jobs" if "metric" in entry else default


def _rules(kind: Kind) -> list[dict[str, Any]]:
    """Each rule that can be set, with its number and its defaults as written."""
    defaults = loader.read(kind.defaults_path)
    assert issubclass(kind.rules, BaseModel)
    return [
        {
            "key": key,
            "description": shape.description,
            "defaults": [
                {
                    "rule": entry["rule"],
                    "default": _written(entry),
                    "why": entry.get("why", ""),
                }
                for name, entry in defaults.items()
                if entry.get("key", name) == key
            ],
        }
        for key, shape in kind.rules.model_fields.items()
    ]


def tables() -> list[dict[str, Any]]:
    """Id, title and source of every table in use."""
    return [
        {
            "id": name,
            "title": loader.read(path).get("title", "Defaults of a kind"),
            "document": loader.read(path).get("document", "common practice; set by the caller"),
        }
        for name, path in _paths().items()
    ]


def table(name: str) -> dict[str, Any]:
    """One table with all its rows; KeyError if there is none."""
    return {"id": name, **loader.read(_paths()[name])}


def rules() -> list[dict[str, str]]:
    """Number and name of every rule."""
    return [{"number": number, "name": rule["name"]} for number, rule in loader.rule_book().items()]


def rule(number: str) -> dict[str, Any]:
    """One rule: name, sentence, source, and the defaults that it sets; KeyError if none."""
    return {"number": number, **loader.rule_book()[number], "defaults": _defaults_of(number)}


def _defaults_of(number: str) -> list[dict[str, Any]]:
    """The defaults of all kinds that a rule sets, as their tables write them."""
    return [
        {
            "kind": kind.name,
            "key": entry.get("key", name),
            "default": _written(entry),
            "why": entry.get("why", ""),
        }
        for kind in all_kinds().values()
        for name, entry in loader.read(kind.defaults_path).items()
        if entry["rule"] == number
    ]


def _paths() -> dict[str, Path]:
    own = {f"{kind.name}-defaults": kind.defaults_path for kind in all_kinds().values()}
    return dict(sorted({**loader.published(), **own}.items()))


@cache
def rules_digest() -> str:
    """A digest of the service's version, its rules' version and every table in use."""
    made = hashlib.sha256(f"{__version__}/{RULES_VERSION}".encode())
    made.update(loader.digest(list(_paths().values())).encode())
    return f"sha256:{made.hexdigest()[:16]}"
