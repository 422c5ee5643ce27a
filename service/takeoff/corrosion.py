"""Fasteners held against what they are driven into and the air that they stand in (18.13)."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from typing import Final, Literal

from service.errors import Cure, Finding
from service.products.goods.fastener.spec import FastenerProduct
from service.products.layer import AnyTask
from service.products.remarks import Remarks
from service.products.rows import FastenerRow
from service.standards import loader
from service.takeoff.job import Job
from service.units.writing import listed

Against = Literal["treated", "acidic", "salt"]
Places = Mapping[Against, Sequence[str]]
"""What attacks a fastener, and where it is driven into that."""

_WRITTEN: Final = {
    "bare": "bare steel", "electroplated": "electroplated", "hot_dipped": "hot-dipped zinc",
    "aluminium": "aluminium", "silicon_bronze": "silicon bronze", "copper": "copper",
    "stainless": "stainless", "stainless_316": "stainless 316",
}  # fmt: skip

_CALLED: Final[Mapping[Against, str]] = {
    "treated": "treated wood", "acidic": "acidic wood", "salt": "salt air",
}  # fmt: skip


def say_corrosion(job: Job, rows: Sequence[FastenerRow], said: Remarks) -> None:
    """Say of each fastener what eats it, or that its metal must be known for that."""
    for name, places in _attacked(job, rows).items():
        spec, pointer = job.products[name]
        assert isinstance(spec, FastenerProduct), f"{name} is no fastener"
        if spec.metal is None:
            said.find(_unknown(name, places))
            continue
        stand = {row["against"]: row["metals"] for row in _table()}
        eaten = {one: where for one, where in places.items() if spec.metal not in stand[one]}
        if eaten:
            best = [metal for metal in _WRITTEN if all(metal in stand[one] for one in places)]
            said.find(_eaten(name, spec.metal, eaten, best, f"{pointer}/metal"))


def _table() -> Sequence[Mapping[str, str]]:
    rows: Sequence[Mapping[str, str]] = loader.table("fastener_metals")["rows"]
    return rows


def _attacked(job: Job, rows: Sequence[FastenerRow]) -> Mapping[str, Places]:
    """What attacks each fastener that is named, and in which layers."""
    tasks = {(one.task.surface.id, one.task.layer_id): one.task for one in job.layers}
    found: dict[str, dict[Against, list[str]]] = defaultdict(lambda: defaultdict(list))
    for row in rows:
        spec = job.products[row.product][0] if row.product else None
        if not isinstance(spec, FastenerProduct):
            continue
        task = tasks[row.surface, row.layer]
        for against in _around(job, task, row):
            if task.at not in found[spec.id][against]:
                found[spec.id][against].append(task.at)
    return found


def _around(job: Job, task: AnyTask, row: FastenerRow) -> Iterator[Against]:
    """What a fastener is driven into, and the air about it, as far as that attacks it."""
    nailer = job.nailers.get(row.surface)
    through = getattr(task.product, "wood", None) if row.where != "backing" else None
    if row.where == "backing" and nailer is not None:
        through = nailer.product.wood
    if through in ("treated", "acidic"):
        yield through
    if task.surface.treated:
        yield "treated"
    if task.surface.near_salt:
        yield "salt"


def _unknown(name: str, places: Places) -> Finding:
    return Finding(
        "metal-unknown",
        name,
        f"{name} meets {_told(places)}: say its `metal`, for not every fastener lasts there",
        rule="18.13",
    )


def _eaten(name: str, metal: str, places: Places, best: Sequence[str], at: str) -> Finding:
    """What eats a fastener, what would stand all that it meets, and the first of that as cure."""
    why = {row["against"]: row["why"] for row in _table()}
    reasons = listed([why[one] for one in places])
    stand = " or ".join(_WRITTEN[one] for one in best)
    return Finding(
        "fastener-corrodes",
        name,
        f"{name} ({_WRITTEN[metal]}) meets {_told(places)}: {reasons}; {stand} would last",
        rule="18.13",
        cure=Cure(at, best[0], sure=True),
    )


def _told(places: Places) -> str:
    """`treated wood (deck.boards)`, one after another."""
    return listed([f"{_CALLED[one]} ({', '.join(where)})" for one, where in places.items()])
