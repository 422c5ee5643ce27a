"""The rules of one layer as they hold for it: the nearest that was sent, or the default.

What is read of them is entered in the basis of the answer, so that it says all that the answer
rests on, and no more.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from functools import lru_cache
from typing import Any, Generic, Literal, Self, TypeVar, overload

from service.errors import Basis, JsonValue, Ticks
from service.schemas.written import read_length

Value = TypeVar("Value")

Entry = Mapping[str, Any]  # a table in TOML has text and numbers; how each is read is said below
"""One entry of a table of defaults, as written."""

Defaults = Mapping[str, Entry]
"""The entries of a table by name."""


class Rulings:
    """The rules of one layer; a kind, and a form of stock, has a subclass with each by its name.

    `at` is the place of the layer, and `layer` its validated spec. `levels` are the rules that were
    sent, the nearest first, each with the name of its level; `metric` says that the job's unit is.
    """

    __slots__ = ("_defaults", "_given", "_known", "_levels", "_metric", "at", "layer")

    layer: object

    def __init__(
        self,
        at: str,
        layer: object,
        levels: Sequence[tuple[str, object]],
        defaults: Defaults,
        *,
        metric: bool = False,
    ) -> None:
        self.at = at
        self.layer = layer
        self._levels = levels
        self._defaults = defaults
        self._metric = metric
        self._given: dict[str, Basis] = {}
        self._known: dict[tuple[str, str | None], tuple[object, Basis]] = {}

    def knowing(self, level: str, rules: object) -> Self:
        """The same with rules that were worked out, which hold where nothing was sent."""
        levels = (*self._levels, (level, rules))
        return type(self)(self.at, self.layer, levels, self._defaults, metric=self._metric)

    def overruled(self, level: str, rules: object) -> Self:
        """The same with rules that hold whatever was sent."""
        levels = ((level, rules), *self._levels)
        return type(self)(self.at, self.layer, levels, self._defaults, metric=self._metric)

    def value(
        self, of: type[Value], key: str, default: str | None = None, usual: Value | None = None
    ) -> Value:
        """The value of rule `key`, which is `of` a type: int for ticks and counts, Fraction, str.

        `default` names its default where that is another; `usual` is the default's value where it
        depends on the product (the table then says `of` what).
        """
        known = self._known.get((key, default)) if usual is None else None
        found, basis = known or self._found(key, default, usual)
        assert isinstance(found, of), f"the rule {key} is no {of.__name__}"
        self._given[key] = basis
        return found

    def _found(self, key: str, default: str | None, usual: object) -> tuple[object, Basis]:
        """A rule as it holds, and how it stands in the basis; kept where nothing else decides."""
        entry = self._defaults[default or key]
        sent, source = self._sent(key)
        found = sent
        if sent is None:
            found = default_value(entry, self._metric) if usual is None else usual
        made = found, Basis(self.at, entry["rule"], key, _shown(entry, found), source)
        if usual is None:
            self._known[key, default] = made
        return made

    def silent(self, key: str, default: str) -> tuple[int, str]:
        """A length by rule `key` as `value` has it, and where it is from; not entered in the basis.

        For what takes its value from a rule and is entered itself.
        """
        sent, source = self._sent(key)
        found = default_value(self._defaults[default], self._metric) if sent is None else sent
        assert isinstance(found, int), f"the rule {key} is no length"
        return found, source

    def entry(self, name: str) -> Entry:
        """An entry of the table of defaults."""
        return self._defaults[name]

    def as_sent(self, key: str) -> JsonValue:
        """Rule `key` as the caller sent it at the nearest level; None where it was not sent."""
        entry = next(one for name, one in self._defaults.items() if one.get("key", name) == key)
        sent, _ = self._sent(key)
        return None if sent is None else _shown(entry, sent)

    def in_force(self, key: str) -> JsonValue:
        """Rule `key` as it holds: as it was sent, or its one default.

        None where nothing was sent and the default depends on the case, or where the table says
        that the rule holds only if it is sent (`if_sent`).
        """
        entries = [one for name, one in self._defaults.items() if one.get("key", name) == key]
        sent, plain = (
            self.as_sent(key),
            len(entries) == 1 and not {"of", "if_sent"} & set(entries[0]),
        )
        if sent is not None or not plain:
            return sent
        return _shown(entries[0], default_value(entries[0], self._metric))

    def is_from(self, key: str, level: str) -> bool:
        """Whether rule `key` holds as that level has it."""
        return self._sent(key)[1] == level

    def _sent(self, key: str) -> tuple[object, str]:
        """What was sent of a rule and at which level; None and `default` where nothing was."""
        for level, rules in self._levels:
            sent = getattr(rules, key, None)
            if sent is not None:
                return sent, level
        return None, "default"

    def choose(self, rule: str, key: str, sent: Value | None, default: Value) -> Value:
        """A choice of the layer that is no rule of its own: what was sent, or a default."""
        value = default if sent is None else sent
        self.note(rule, key, _shown_choice(value), "default" if sent is None else "layer")
        return value

    def note(self, rule: str, key: str, value: JsonValue, source: str) -> None:
        """Enter a value in the basis."""
        self._given[key] = Basis(self.at, rule, key, value, source)

    @property
    def basis(self) -> tuple[Basis, ...]:
        """Every value given so far, by key."""
        return tuple(self._given[key] for key in sorted(self._given))


class Ruling(Generic[Value]):
    """One rule of a layer, under its key: the value that holds, entered in the basis when read.

    Where the default depends on the case, a method of the key's name stands in its place.
    """

    def __init__(self, of: type[Value]) -> None:
        self.of = of
        self.key = ""

    def __set_name__(self, owner: type[Rulings], name: str) -> None:
        self.key = name

    @overload
    def __get__(self, rules: None, owner: type[Rulings]) -> Ruling[Value]: ...

    @overload
    def __get__(self, rules: Rulings, owner: type[Rulings]) -> Value: ...

    def __get__(self, rules: Rulings | None, owner: type[Rulings]) -> Ruling[Value] | Value:
        return self if rules is None else rules.value(self.of, self.key)


class StockRulings(Rulings):
    """What is bought beyond the cut plan, and what it is compared with: percent, count, percent."""

    __slots__ = ()

    cull = Ruling(Fraction)
    spare = Ruling(int)
    flat_pct = Ruling(Fraction)

    @property
    def silent_of_culls(self) -> bool:
        """Whether nothing is bought for culls, and nobody said that nothing should be."""
        return not self.cull and self._sent("cull")[0] is None

    @property
    def silent_of_spares(self) -> bool:
        """Whether no spares are bought, and nobody said that none should be."""
        return not self.spare and self._sent("spare")[0] is None

    def note_density(self, used: str) -> None:
        """Enter the density of the product, by which what is bought is weighed (19.5)."""
        self.note("19.5", "density", used, "product")


class SawingRulings(Rulings):
    """How stock is sawn, and which rests are kept; ticks."""

    __slots__ = ()

    kerf = Ruling(int)
    cut_to = Ruling(int)
    keep_offcut = Ruling(int)


class StickRulings(SawingRulings, StockRulings):
    """Rules of stock that is bought and sawn in sticks."""

    __slots__ = ()


class BlockRulings(Rulings):
    """What is counted of blocks behind a layer; ticks."""

    __slots__ = ()

    backing = Ruling(str)
    merge_blocks = Ruling(int)
    end_nails = Ruling(int)
    nailer_spacing = Ruling(int)


class BackingRulings(BlockRulings):
    """What must stand behind a layer that ends at walls and at openings; ticks."""

    __slots__ = ()

    edge_nailer = Ruling(int)
    opening_nailer = Ruling(int)


class DrivingRulings(Rulings):
    """What is lost of fasteners as they are driven; percent."""

    __slots__ = ()

    loss_hand = Ruling(Fraction)
    loss_collated = Ruling(Fraction)


class HoldRulings(Rulings):
    """Hold of fasteners in what carries them, and the least bearing that counts; ticks."""

    __slots__ = ()

    bite_ring = Ruling(int)
    bite_smooth = Ruling(int)
    bite_framing = Ruling(int)
    min_touch = Ruling(int)

    def bite_in(self, usual: Literal["wood", "panel"]) -> str:
        """What must give the hold: `wood`, `framing` or `panel`."""
        return self.value(str, "bite_in", f"bite_in_{usual}")


def default_value(entry: Entry, metric: bool) -> int | str | Fraction:
    """A default as a rule has it: ticks for a length, a word, a count, or a Fraction.

    `metric` says that the job's unit is metric: some lengths have a default of their own there.
    """
    if metric and "metric" in entry:
        return read_length(entry["metric"])
    if "value" in entry:
        return 0 if entry["value"].startswith("0 ") else read_length(entry["value"])
    if "word" in entry:
        return str(entry["word"])
    if "count" in entry:
        return int(entry["count"])
    return _number(entry["number"])


@lru_cache(maxsize=256)
def _number(written: str | int | float) -> Fraction:
    return Fraction(written)


def _shown(entry: Entry, value: object) -> JsonValue:
    """The value of a rule as the basis has it."""
    if isinstance(value, str):
        return value
    assert isinstance(value, int | Fraction)
    if isinstance(value, Fraction):
        return float(value)
    return Ticks(value) if "value" in entry or "of" in entry else value


def _shown_choice(value: object) -> JsonValue:
    """A choice as the basis has it: a number is a length."""
    if isinstance(value, bool) or not isinstance(value, int):
        assert value is None or isinstance(value, bool | float | str)
        return value
    return Ticks(value)
