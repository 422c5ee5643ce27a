"""The cluster of docker/cluster, run from its image by the very commands of its compose file."""

from __future__ import annotations

import os
import subprocess
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml

from tests.callers.images import built, process
from tests.callers.programs import ROOT
from tests.callers.test_image import free_port
from tests.strategies import requests
from tests.strategies.asking import body_of, outcome

pytestmark = pytest.mark.xdist_group("image")  # both begin with the same base

BULK = "requirements-bulk.lock"
PARTS: dict[str, Any] = yaml.safe_load((ROOT / "docker/cluster/compose.yaml").read_text())[
    "services"
]


def started(name: str, port: int, folder: Path, *binds: Path) -> subprocess.Popen[str]:
    """A part of the cluster as the compose file starts it, but on loopback."""
    part = PARTS[name]
    told = [*part["entrypoint"], *part["command"]]
    here = {"0.0.0.0": "127.0.0.1", "8786": str(port)}
    command = [here.get(word, word).replace("scheduler:8786", f"127.0.0.1:{port}") for word in told]
    command = [word.replace("/jobs/", f"{folder}/") for word in command]
    with (folder / f"{name}.log").open("w") as log:
        return process(built(BULK), command, log, part["environment"], *binds)


@pytest.fixture(scope="module")
def cluster(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[int, Path]]:
    """The port of a scheduler, with its workers, and a folder that a run may write to."""
    folder, port = tmp_path_factory.mktemp("cluster"), free_port()
    parts = [started(name, port, folder) for name in ("scheduler", "worker")]
    yield port, folder
    for one in reversed(parts):
        one.terminate()
        assert one.wait(30) is not None


def test_a_run_of_the_cluster_gives_what_single_calls_give(cluster: tuple[int, Path]) -> None:
    """From the image's own read-only root, with the folder of jobs beside it."""
    port, folder = cluster
    lines = [body_of(requests.job(requests.room(60 + number % 9, 60))) for number in range(40)]
    (folder / "jobs.ndjson").write_bytes(b"\n".join(lines) + b"\n")
    os.chmod(folder, 0o777)
    for _ in range(30):
        run = started("bulk", port, folder, folder)
        if run.wait(300) == 0:
            break
        time.sleep(2)
    assert run.returncode == 0, (folder / "bulk.log").read_text()
    expected = b"".join(outcome(line).body + b"\n" for line in lines)
    assert (folder / "answers.ndjson").read_bytes() == expected
    assert "40 lines: 40 answered" in (folder / "bulk.log").read_text()
