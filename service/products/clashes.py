"""What two kinds, or two forms, cannot both have: names, and rules that mean different things."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations

from pydantic.fields import FieldInfo

from service.products.form import AnyForm, Form
from service.products.kind import AnyKind
from service.products.rulings import Defaults, Entry, Ruling
from service.standards import loader


def clashes_of_forms(forms: Sequence[AnyForm]) -> list[str]:
    """Each clash between two forms of stock in a sentence that names both places."""
    found = [text for form in forms for text in _without_default(form, _table(form))]
    for one, other in combinations(forms, 2):
        if one.name == other.name:
            found.append(f"the form {one.name} is two shapes: {_places(one, other)}")
        found += [f"{sentence}: {_places(one, other)}" for sentence in _two_types(one, other)]
    return found


def clashes(kinds: Sequence[AnyKind], forms: Mapping[str, AnyForm]) -> list[str]:
    """Each clash of kinds with each other or with the forms that they take, with the places."""
    found = [sentence for kind in kinds for sentence in _of_one(kind, forms)]
    for one, other in combinations(kinds, 2):
        if one.name == other.name:
            found.append(f"two kinds are called {one.name}: {_places(one, other)}")
        found += [f"{sentence}: {_places(one, other)}" for sentence in _two_types(one, other)]
    return found


def defaults(kind: AnyKind, forms: Mapping[str, AnyForm]) -> dict[str, Entry]:
    """The defaults of a kind's rules by name: of the forms that it takes, and its own."""
    found: dict[str, Entry] = {}
    for form in sorted(kind.forms):
        found |= _table(forms[form]) if form in forms else {}
    return found | dict(_table(kind))


def _of_one(kind: AnyKind, forms: Mapping[str, AnyForm]) -> Iterator[str]:
    for place, name in (*kind.named.items(), *kind.also.items()):
        if name not in forms:
            yield f"{kind.folder} takes the form {name} as its {place}, and no such form is there"
    yield from _without_default(kind, defaults(kind, forms))
    yield from _of_rulings(kind)
    for form in (forms[name] for name in sorted(kind.forms) if name in forms):
        if not issubclass(kind.rulings, form.rulings):
            yield f"{kind.folder} takes the form {form.name} without its {form.rulings.__name__}"
        stock_rules = form.stock_rules if isinstance(form, Form) else ()
        for key in sorted(set(stock_rules) - _rules(kind).keys()):
            yield f"{kind.folder} takes the form {form.name} without its rule {key}"


def _without_default(one: AnyKind | AnyForm, table: Defaults) -> Iterator[str]:
    set_there = {entry.get("key", name) for name, entry in table.items()}
    for key in _rules(one):
        if key not in set_there:
            yield f"the rule {key} of {one.folder} has no default in {one.defaults_path}"


def _of_rulings(kind: AnyKind) -> Iterator[str]:
    """Rules that can be sent and that the kind does not read, and those that it makes up."""
    asked, rulings = _rules(kind), kind.rulings
    for key in asked:
        if not hasattr(rulings, key):
            yield f"the rule {key} of {kind.folder} is not in its {rulings.__name__}"
    for key in dir(rulings):
        if isinstance(getattr(rulings, key), Ruling) and key not in asked:
            yield f"{rulings.__name__} of {kind.folder} has {key}, and no rule that can be sent is"


def _two_types(one: AnyKind | AnyForm, other: AnyKind | AnyForm) -> Iterator[str]:
    ours, theirs = _rules(one), _rules(other)
    for key in sorted(ours.keys() & theirs.keys()):
        if ours[key] != theirs[key]:
            yield f"the rule {key} is of two types"


def _places(one: AnyKind | AnyForm, other: AnyKind | AnyForm) -> str:
    return f"in {one.folder} and in {other.folder}"


def _table(one: AnyKind | AnyForm) -> Defaults:
    return loader.read(one.defaults_path) if one.defaults_path.is_file() else {}


def _rules(one: AnyKind | AnyForm) -> dict[str, object]:
    """Each rule with its type and its bounds."""
    fields: Mapping[str, FieldInfo] = getattr(one.rules, "model_fields", {})
    return {key: (shape.annotation, shape.metadata) for key, shape in fields.items()}
