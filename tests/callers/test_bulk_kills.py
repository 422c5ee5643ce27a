"""A bulk run is killed outright at lines of chance, ten times, and goes on to the same bytes."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from service.__main__ import main
from tests.strategies import requests
from tests.strategies.asking import body_of
from tests.strategies.killing import alive, killed_after

LINES = 240


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, bytes]:
    """Jobs, and what a run that nobody kills makes of them."""
    folder = tmp_path_factory.mktemp("whole")
    jobs, out = folder / "jobs.ndjson", folder / "answers.ndjson"
    rooms = (requests.job(requests.room(40 + number % 90, 60)) for number in range(LINES))
    jobs.write_bytes(b"\n".join(b"{" if number % 37 == 5 else body_of(room)
                                for number, room in enumerate(rooms)) + b"\n")  # fmt: skip
    assert main(["bulk", str(jobs), str(out), "--processes", "2"]) == 0
    return jobs, out.read_bytes()


@pytest.mark.parametrize("seed", range(10))
def test_a_killed_run_goes_on_to_the_same_bytes(
    whole: tuple[Path, bytes], tmp_path: Path, seed: int
) -> None:
    """Once or twice; the second kill comes further on."""
    jobs, right = whole
    out = tmp_path / "answers.ndjson"
    chance, resume = random.Random(seed), list[str]()
    for at in sorted(chance.sample(range(LINES - 60), 1 + seed % 2)):
        before = out.read_bytes().count(b"\n") if out.exists() else 0
        family = killed_after(jobs, out, max(at, before + 1), "--processes", "2", *resume)
        assert not alive(family)
        assert right.startswith(out.read_bytes()[: out.stat().st_size // 2])
        resume = ["--resume"]
    assert main(["bulk", str(jobs), str(out), "--processes", "2", "--resume"]) == 0
    assert out.read_bytes() == right
    assert not list(tmp_path.glob("*.progress"))


def test_a_sheet_goes_on_too(tmp_path: Path) -> None:
    """Rows with line ends within their quotes, after a mark."""
    head = "room,unit,length,width,boards_run,support_spacing,profile,overall,thickness,stock"
    rows = [
        f'"den\r\n{number}",in,{60 + number % 50},60,along length,16,square_edge,5.5,0.75,8 ft'
        for number in range(LINES)
    ]
    jobs, whole, out = (tmp_path / name for name in ("rooms.csv", "whole.csv", "rows.csv"))
    jobs.write_bytes("\r\n".join(["\ufeff" + head, *rows, ""]).encode())
    assert main(["bulk", str(jobs), str(whole), "--processes", "2"]) == 0
    killed_after(jobs, out, 60, "--processes", "2")
    assert main(["bulk", str(jobs), str(out), "--processes", "2", "--resume"]) == 0
    assert out.read_bytes() == whole.read_bytes()
