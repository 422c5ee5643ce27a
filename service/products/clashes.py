"""What two kinds cannot both have: names, forms and rules that mean different things."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations
from typing import Any

from service.products.kind import Kind
from service.standards import loader


def clashes(kinds: Sequence[Kind], shared: Mapping[str, type]) -> list[str]:
    """Each clash in a sentence that names both places; `shared` are the forms of no kind."""
    found = [sentence for kind in kinds for sentence in _of_one(kind, shared)]
    for one, other in combinations(kinds, 2):
        found += [f"{sentence}: in {one.folder} and in {other.folder}"
                  for sentence in _of_two(one, other)]  # fmt: skip
    return found


def _of_one(kind: Kind, shared: Mapping[str, type]) -> Iterator[str]:
    table = loader.read(kind.defaults_path) if kind.defaults_path.is_file() else {}
    set_there = {entry.get("key", name) for name, entry in table.items()}
    for key in _rules(kind):
        if key not in set_there:
            yield f"the rule {key} of {kind.folder} has no default in {kind.defaults_path}"
    for form in sorted(shared.keys() & kind.forms.keys()):
        yield f"the form {form} of {kind.folder} is one that all kinds share"


def _of_two(one: Kind, other: Kind) -> Iterator[str]:
    if one.name == other.name:
        yield f"two kinds are called {one.name}"
    for form in sorted(one.forms.keys() & other.forms.keys()):
        if one.forms[form] is not other.forms[form]:
            yield f"the form {form} is two shapes"
    ours, theirs = _rules(one), _rules(other)
    for key in sorted(ours.keys() & theirs.keys()):
        if ours[key] != theirs[key]:
            yield f"the rule {key} is of two types"


def _rules(kind: Kind) -> dict[str, Any]:
    """Each rule with its type and its bounds."""
    fields: Mapping[str, Any] = getattr(kind.rules, "model_fields", {})
    return {key: (shape.annotation, shape.metadata) for key, shape in fields.items()}
