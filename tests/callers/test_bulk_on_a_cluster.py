"""A bulk run on a real Dask cluster of two workers on loopback, and its orders as columns."""

from __future__ import annotations

import json
import os
import signal
import threading
import time
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

import distributed
import pytest
from pyarrow import parquet

from service.__main__ import main
from tests.strategies import requests
from tests.strategies.asking import answered, body_of


@pytest.fixture(scope="module")
def cluster() -> Iterator[distributed.LocalCluster]:
    """Two workers in processes of their own, which are started again where they die."""
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, host="127.0.0.1", dashboard_address=None
    ) as one:
        yield one


def priced(width: int) -> dict[str, object]:
    """A room with prices."""
    job = requests.changed(requests.job(requests.room(width, 60)), "/currency", "USD")
    for product in job["products"]:
        product["stock"][0]["price"] = "12.50"
    return job


@pytest.fixture(scope="module")
def jobs(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Rooms of other widths, and lines that are none."""
    path = tmp_path_factory.mktemp("bulk") / "jobs.ndjson"
    lines = [body_of(priced(40 + number)) for number in range(160)]
    lines[50:50] = [b"{", b'{"unit": "in"}']
    path.write_bytes(b"\n".join(lines) + b"\n")
    return path


def killed_in_the_middle(cluster: distributed.LocalCluster, out: Path) -> None:
    """End one worker once the first answers are written."""
    while not out.exists() or not out.stat().st_size:
        time.sleep(0.02)
    nanny = next(iter(cluster.workers.values()))
    os.kill(nanny.pid, signal.SIGKILL)


def test_a_cluster_gives_the_bytes_of_this_machine_though_a_worker_dies(
    cluster: distributed.LocalCluster, jobs: Path, tmp_path: Path
) -> None:
    here, there = tmp_path / "here.ndjson", tmp_path / "there.ndjson"
    assert main(["bulk", str(jobs), str(here), "--processes", "2"]) == 0
    killer = threading.Thread(target=killed_in_the_middle, args=(cluster, there))
    killer.start()
    assert main(["bulk", str(jobs), str(there), "--scheduler", cluster.scheduler_address]) == 0
    killer.join()
    assert there.read_bytes() == here.read_bytes()


def test_orders_are_written_as_columns(jobs: Path, tmp_path: Path) -> None:
    """Row for row what the answers order."""
    out = tmp_path / "orders.parquet"
    assert main(["bulk", str(jobs), str(out), "--processes", "2"]) == 0
    rows = parquet.read_table(out).to_pylist()
    expected = []
    for number, line in enumerate(jobs.read_bytes().splitlines(), 1):
        if number not in (51, 52):
            found = answered(json.loads(line))
            units = {
                "length_unit": "in", "weight_unit": "lb", "volume_unit": "gal", "currency": "USD"
            }  # fmt: skip
            expected += [
                {**row, "line": number, **units, "price": money(row["price"])}
                for row in found["order"]
            ]
    assert rows == expected


def money(price: object) -> Decimal | None:
    """As the column has it."""
    return None if price is None else Decimal(str(price))


def test_a_scheduler_that_is_not_there_is_told(
    jobs: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "answers.ndjson"
    assert main(["bulk", str(jobs), str(out), "--scheduler", "tcp://127.0.0.1:9"]) == 2
    assert "no scheduler answers at tcp://127.0.0.1:9" in capsys.readouterr().err
