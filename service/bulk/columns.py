"""Order rows as columns: a Parquet file for those who load a warehouse."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from decimal import Decimal
from pathlib import Path
from typing import Any, Final

import orjson
import pyarrow as pa
from pyarrow import parquet

from service.bulk.lines import Answered
from service.bulk.tally import Tally
from service.bulk.writing import Done, Unwritable
from service.report.tables.flat import answer_shape

_ROWS_TOGETHER: Final = 50_000
_PLACES: Final = 4
"""Decimal places of money in the file; a price has at most so many."""

UNITS: Final = {
    "length_unit": "length", "weight_unit": "weight", "volume_unit": "volume", "currency": "money",
}  # fmt: skip
"""Columns beside those of an order row, and which of the answer's units each has."""

_TYPES: Final = {"string": pa.string(), "integer": pa.int64(), "number": pa.float64()}


def _schema() -> pa.Schema:
    """The columns of an order row as they are published, its line before, its units behind."""
    published = answer_shape().model_json_schema()["$defs"]["OrderRow"]["properties"]
    columns = {name: _TYPES[_type(told)] for name, told in published.items()}
    columns["price"] = pa.decimal128(18, _PLACES)
    return pa.schema({"line": pa.int64(), **columns, **dict.fromkeys(UNITS, pa.string())})


def _type(told: Mapping[str, Any]) -> str:
    """The JSON type of a column, which may be absent as well."""
    kinds: list[str] = [one["type"] for one in told.get("anyOf", (told,))]
    return next(kind for kind in kinds if kind != "null")


class OrderColumns:
    """Writes the order rows of answers; a line that was refused has none, and is in the tally."""

    def __init__(self, path: Path) -> None:
        """Begin the file. Raises Unwritable where it is there."""
        if path.exists():
            raise Unwritable(f"{path} is there: take it away (only .ndjson can be gone on with)")
        self.done = Done(0, 0, "", Tally())
        self._schema = _schema()
        self._file = parquet.ParquetWriter(path, self._schema, compression="zstd")
        self._rows: list[dict[str, Any]] = []

    def write(self, answered: Answered, digest: str) -> None:
        """Take the answers to the next lines; they are written many rows at a time."""
        for number, body in enumerate(answered.bodies, self.done.lines + 1):
            self._rows += rows_of(number, orjson.loads(body))
        self.done.lines += len(answered.bodies)
        self.done.tally.add(answered.tally)
        if len(self._rows) >= _ROWS_TOGETHER:
            self._flush()

    def _flush(self) -> None:
        self._file.write_table(pa.Table.from_pylist(self._rows, schema=self._schema))
        self._rows = []

    def close(self, whole: bool) -> None:
        """Write what is left, and the end of the file."""
        self._flush()
        self._file.close()


def rows_of(line: int, answer: dict[str, Any]) -> Iterator[dict[str, Any]]:
    """The order rows of an answer, each with its line and units; none of a problem."""
    units = answer.get("units", {})
    told = {name: units.get(unit) for name, unit in UNITS.items()}
    for row in answer.get("order", ()):
        price = None if row["price"] is None else Decimal(str(row["price"]))
        yield {"line": line, **row, "price": price, **told}
