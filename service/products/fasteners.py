"""The fastener that a layer names: found among the products, and the length of it that holds."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal, Protocol

from service.errors import Cure, Fault, Finding, Relaxed, Ticks, TradeRefused
from service.fastening.reach import Need, Reach, Way, needed_length, reach_of, shortest
from service.products.goods.fastener.spec import FastenerProduct
from service.products.layer import AnyTask, Layer, Product, Task
from service.products.remarks import Remarks
from service.products.rulings import HoldRulings, Rulings
from service.units.ticks import SIXTEENTH, up
from service.units.writing import both


class Fastening(Protocol):
    """How a layer says that it is fastened."""

    @property
    def product(self) -> str | None:
        """Id of a fastener, if it names one."""


class Fastened(Layer, Protocol):
    """A layer that may name a fastener."""

    @property
    def fastening(self) -> Fastening | None:
        """How it is fastened."""


Driven = Task[Fastened, Product, Rulings]
"""A layer that is fastened."""

Held = Task[Fastened, Product, HoldRulings]
"""A layer whose fasteners must hold as its rules say."""


class Thick(Product, Protocol):
    """A product that a fastener goes through."""

    @property
    def thickness(self) -> int:
        """How far it goes through it, ticks."""


NamedFastener = tuple[FastenerProduct, str]
"""A fastener and its place in the request."""


def named_fastener(task: Driven, said: Remarks) -> NamedFastener | None:
    """The fastener product and its place in the request; None with a finding if none was named."""
    named = task.layer.fastening.product if task.layer.fastening else None
    if named is None:
        said.find(
            Finding(
                "no-fastener",
                task.at,
                "no fastener product was named: counts only, no length and no boxes",
                rule="18.11",
            )
        )
        return None
    return task.named(named, FastenerProduct)


class Clipping(Protocol):
    """How a layer that takes clips says so."""

    @property
    def clip(self) -> str | None:
        """Id of a clip, if it names one."""


def named_clip(task: AnyTask, fastening: Clipping | None, said: Remarks) -> str | None:
    """The id of the clip that a layer names; None with a finding where it names none."""
    named = None if fastening is None else fastening.clip
    if named is None:
        said.find(
            Finding(
                "no-clip",
                task.at,
                "no clip was named: they are counted and not ordered (`fastening.clip`)",
                rule="18.3",
            )
        )
    return named


def need_of(
    task: Held, shank: str, said: Remarks, usual: Literal["wood", "panel"] = "wood"
) -> Need:
    """How much of a fastener must lie in wood, and of that in framing (18.11).

    `usual` holds where nobody said what must. Overhead a nail in a panel alone works loose, so
    there some of it must lie in framing, unless the panel alone is meant to hold (18.5). Straps
    that a layer is laid on hold as deep as they are, which a finding says where more was asked for.
    """
    asked, depth = _asked(task, shank, usual), task.ground.depth
    if depth is None:
        return asked
    there = depth + (task.ground.backing or 0)
    if asked.wood > there:
        said.find(
            Finding(
                "hold-limited",
                task.at,
                f"the straps are {both(depth)} thick and hold no deeper: {both(asked.wood)} in "
                "wood is asked for; use ring-shank nails or screws",
                rule="18.11",
                measure=there,
                limit=asked.wood,
            )
        )
    return Need(min(asked.wood, there), min(asked.framing, depth))


def _asked(task: Held, shank: str, usual: Literal["wood", "panel"]) -> Need:
    """The same as the rules have it, however thick the wood behind is."""
    rules = task.rules
    where = rules.bite_in(usual)
    if where == "panel":
        return Need(_panels(task))
    wood = rules.bite_smooth if shank == "smooth" else rules.bite_ring
    if where == "framing":
        return Need(wood, wood)
    overhead = task.surface.type in ("ceiling", "soffit")
    return Need(wood, rules.bite_framing if overhead else 0)


def _panels(task: Held) -> int:
    """Thickness of the panels that are meant to hold alone; refused where there are none."""
    if task.ground.backing is not None:
        return task.ground.backing
    at = f"{task.pointer}/rules/bite_in"
    raise TradeRefused(
        Fault(
            "no-panel-behind",
            "`bite_in` says that a panel alone holds the fasteners, and none stands behind this "
            "layer",
            at,
            cure=Cure(at, "wood"),
            rule="18.11",
        )
    )


def holding_length(
    task: AnyTask, named: NamedFastener, ways: Sequence[Way], need: Need, said: Remarks
) -> int:
    """The shortest length of a fastener that holds what is needed on each of its ways (18.11).

    Where none of the lengths holds it is refused, or the longest is used if the caller relaxes;
    what no length at all can hold is always refused.
    """
    spec, pointer = named
    found = shortest(spec.lengths, ways, need)
    if found is not None:
        return found
    fault = _too_short(task, spec, pointer, ways, need)
    if not task.relax or fault.limit is None:
        raise TradeRefused(fault)
    longest = max(spec.lengths)
    asked = Ticks(fault.limit)
    said.relaxed.append(Relaxed("18.11", "length", asked, Ticks(longest), (task.at,)))
    said.find(
        Finding(fault.code, task.at, fault.detail, "18.11", measure=longest, limit=fault.limit)
    )
    return longest


def reach_in_framing(
    task: Task[Fastened, Thick, HoldRulings], named: NamedFastener | None, said: Remarks
) -> Reach | None:
    """What the shortest length that holds reaches: through product, layers and shim (18.11).

    It is driven square through the face; None where no fastener was named.
    """
    if named is None:
        return None
    way = Way(task.product.thickness, task.ground.plies, depth=task.ground.depth)
    need = need_of(task, named[0].shank, said)
    return reach_of(holding_length(task, named, [way], need, said), way)


def _too_short(
    task: AnyTask, spec: FastenerProduct, pointer: str, ways: Sequence[Way], need: Need
) -> Fault:
    """None of the lengths holds: the length that would, or that no length can."""
    asked = f"the {both(need.wood)} asked for in wood"
    if need.framing:
        asked += f", {both(need.framing)} of it in framing"
    least = needed_length(ways, need)
    depth = task.ground.depth
    if least is None and depth is not None:
        text = (
            f"no fastener can hold {asked}: what this layer is fastened to is {both(depth)} thick, "
            "and it is not counted what lies behind that"
        )
        return Fault("nothing-to-hold", text, task.pointer, rule="18.11", measure=depth)
    if least is None:
        at = f"{task.pointer}/rules/bite_in"
        text = f"no fastener can hold {asked}: nothing but a panel stands behind"
        return Fault("nothing-to-hold", text, at, Cure(at, "panel"), "18.11")
    want = up(least, 4 * SIXTEENTH)
    text = f"no length of {spec.id} bites {asked}: {both(want)} would"
    at = f"{pointer}/lengths"
    cure = Cure(f"{at}/-", Ticks(want))
    return Fault("fastener-short", text, at, cure, "18.11", max(spec.lengths), want)
