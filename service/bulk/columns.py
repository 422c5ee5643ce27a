"""Order rows as columns: a Parquet file for those who load a warehouse."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any, Final

import orjson
import pyarrow as pa
from pyarrow import parquet

from service.bulk.lines import Answered
from service.bulk.tally import Tally
from service.bulk.writing import Done, Unwritable

_ROWS_TOGETHER: Final = 50_000
_PLACES: Final = 4
"""Decimal places of money in the file; a price has at most so many."""

UNITS: Final = {"length_unit": "length", "weight_unit": "weight", "currency": "money"}
"""Columns beside those of an order row, and which of the answer's units each has."""


_TEXT, _COUNT, _NUMBER = pa.string(), pa.int64(), pa.float64()
SCHEMA: Final = pa.schema([
    ("line", _COUNT), ("product", _TEXT), ("form", _TEXT), ("item", _TEXT), ("length", _NUMBER),
    ("width", _NUMBER), ("need", _COUNT), ("cull", _COUNT), ("spare", _COUNT), ("loss", _COUNT),
    ("buy", _COUNT), ("packages", _COUNT), ("per_package", _NUMBER), ("left_over", _COUNT),
    ("price", pa.decimal128(18, _PLACES)), ("weight", _NUMBER), ("board_feet", _NUMBER),
    *((name, _TEXT) for name in UNITS),
])  # fmt: skip
"""Columns of an order row as the answer has them, with its line before and its units behind."""


class OrderColumns:
    """Writes the order rows of answers; a line that was refused has none, and is in the tally."""

    def __init__(self, path: Path) -> None:
        """Begin the file. Raises Unwritable where it is there."""
        if path.exists():
            raise Unwritable(f"{path} is there: take it away (only .ndjson can be gone on with)")
        self.done = Done(0, 0, "", Tally())
        self._file = parquet.ParquetWriter(path, SCHEMA, compression="zstd")
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
        self._file.write_table(pa.Table.from_pylist(self._rows, schema=SCHEMA))
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
