"""Finds the kinds of layer and the forms of stock: every package with a `KIND` or a `FORM`.

Further folders may be added (`add_folders`), so that neither needs an edit elsewhere.
"""

from __future__ import annotations

import hashlib
import pkgutil
from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from importlib import import_module
from pathlib import Path
from types import MappingProxyType, ModuleType
from typing import Any, Final, TypeVar, get_args

from pydantic import BaseModel, TypeAdapter

from service import RULES_VERSION, __version__
from service.ledger.book import ACCOUNTS
from service.products import goods as goods_folder
from service.products import kinds as kinds_folder
from service.products.clashes import clashes, clashes_of_forms, defaults
from service.products.form import AnyForm, CountedForm, Form
from service.products.kind import AnyKind, Kind
from service.products.nouns import Nouns, supports
from service.products.rows import CLOSED
from service.products.rulings import Entry
from service.schemas.job import Objective
from service.schemas.published_json import PublishedSchema
from service.schemas.surface import SurfaceType
from service.standards import loader


def add_folders(paths: Iterable[str]) -> None:
    """Also look for kinds and forms in `paths`; each is a folder that holds a package for each."""
    for path in paths:
        if path not in kinds_folder.__path__:
            kinds_folder.__path__.append(path)
    forget()


def forget() -> None:
    """Look for kinds and forms anew when they are next asked for."""
    for known in (all_kinds, forms, rules_digest, _defaults):
        known.cache_clear()


Plug = TypeVar("Plug")
FORMS: tuple[type[AnyForm], ...] = (Form, CountedForm)


def _found(folder: ModuleType, name: str, shapes: tuple[type[Plug], ...]) -> Iterator[Plug]:
    """What each package of a folder has under a name; TypeError where it is something else."""
    for module in sorted(pkgutil.iter_modules(folder.__path__), key=lambda one: one.name):
        found = getattr(import_module(f"{folder.__name__}.{module.name}"), name, None)
        if found is None:
            continue
        if not isinstance(found, shapes):
            raise TypeError(f"{name} of {module.name} is no {shapes[0].__name__}")
        yield found


@cache
def forms() -> dict[str, AnyForm]:
    """Every form of stock by name; a kind's folder may bring one of its own, as `FORM`.

    ValueError, with both places, where two cannot stand together.
    """
    folders = (goods_folder, kinds_folder)
    found = [form for folder in folders for form in _found(folder, "FORM", FORMS)]
    if told := clashes_of_forms(found):
        raise ValueError("; ".join(told))
    return {form.name: form for form in sorted(found, key=lambda one: one.name)}


@cache
def all_kinds() -> dict[str, AnyKind]:
    """Every kind by name; ValueError, with both places, where two cannot stand together."""
    found = list(_found(kinds_folder, "KIND", (Kind,)))
    if told := clashes(found, forms()):
        raise ValueError("; ".join(told))
    return {kind.name: kind for kind in found}


def nouns() -> Nouns:
    """What every kind and every form is called on paper."""
    return Nouns(
        kinds={name: kind.nouns for name, kind in all_kinds().items()},
        forms={name: form.nouns for name, form in forms().items()},
    )


def defaults_of(kind: AnyKind) -> Mapping[str, Entry]:
    """The defaults of a kind's rules: its own, and those of the forms of stock that it takes."""
    return _defaults(kind.name)


@cache
def _defaults(kind: str) -> Mapping[str, Entry]:
    return MappingProxyType(defaults(all_kinds()[kind], forms()))


def names() -> list[str]:
    """Names of the kinds."""
    return list(all_kinds())


def describe(name: str) -> dict[str, Any]:
    """One kind: its title, forms, rules with their defaults and its schemas; KeyError if none."""
    kind = all_kinds()[name]
    taken = {form: forms()[form].spec for form in sorted(kind.forms)}
    return {
        "kind": kind.name,
        "title": kind.title,
        "forms": list(taken),
        "rules": _rules(kind),
        "layer_schema": _schema(kind.layer),
        "product_schemas": {form: _schema(shape) for form, shape in taken.items()},
        "cautions": [caution.text for caution in kind.cautions],
        "not_computed": list(kind.not_computed),
    }


def _schema(shape: type) -> dict[str, Any]:
    return TypeAdapter(shape).json_schema(schema_generator=PublishedSchema)


_FORMS = ("value", "word", "count", "number", "of", "count_of")
"""How a table may write a default."""


def _written(entry: Entry) -> object:
    """A default as its table writes it, with the one of metric jobs where that is another."""
    default = next(entry[form] for form in _FORMS if form in entry)
    return f"{default}; {entry['metric']} in metric jobs" if "metric" in entry else default


def _rules(kind: AnyKind) -> list[dict[str, Any]]:
    """Each rule that can be set, with its number and its defaults as written."""
    found = defaults_of(kind)
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
                for name, entry in found.items()
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


def codes() -> list[dict[str, str]]:
    """Every code of faults and findings: its sort and what it means."""
    return [
        {"code": code, "sort": sort, "says": says}
        for sort, found in loader.code_book().items()
        for code, says in found.items()
    ]


def words() -> dict[str, list[str]]:
    """The words that a member of an answer may hold, by `Shape.member`: closed lists."""
    faults = sorted({one["code"] for one in codes() if one["sort"] != "finding"})
    findings = [one["code"] for one in codes() if one["sort"] == "finding"]
    return {
        "ProblemError.code": faults,
        "RefusedRow.code": faults,
        **{f"{row}.form": list(forms()) for row in ("ProductRow", "OrderRow", "DeliveryRow")},
        **{f"{row}.account": list(ACCOUNTS) for row in ("LedgerRow", "LedgerShareRow", "WasteRow")},
        "SurfaceRow.type": list(get_args(SurfaceType)),
        "SurfaceRow.support": supports(),
        "CutPlanRow.objective": list(get_args(Objective)),
        "LayerRow.kind": names(),
        "ProductRow.kind": [*names(), "backing"],
        "FindingRow.code": findings,
        **{member: list(words) for member, words in CLOSED.items()},
    }


def _defaults_of(number: str) -> list[dict[str, Any]]:
    """The defaults of all kinds, and of moisture, that a rule sets, as their tables write them."""
    kinds = {kind.name: defaults_of(kind) for kind in all_kinds().values()}
    return [
        {
            "kind": name,
            "key": entry.get("key", key),
            "default": _written(entry),
            "why": entry.get("why", ""),
        }
        for name, found in (*kinds.items(), ("moisture", loader.read(loader.MOISTURE)))
        for key, entry in found.items()
        if entry["rule"] == number
    ]


_MOISTURE: Final = "moisture-defaults"
"""The table of defaults that is no kind's."""


def _paths() -> dict[str, Path]:
    every: list[AnyKind | AnyForm] = [*all_kinds().values(), *forms().values()]
    own = {f"{one.name}-defaults": one.defaults_path for one in every if one.defaults_path.exists()}
    return dict(sorted({**loader.published(), **own, _MOISTURE: loader.MOISTURE}.items()))


@cache
def rules_digest() -> str:
    """A digest of the service's version, its rules' version and every table in use."""
    made = hashlib.sha256(f"{__version__}/{RULES_VERSION}".encode())
    made.update(loader.digest(list(_paths().values())).encode())
    return f"sha256:{made.hexdigest()[:16]}"
