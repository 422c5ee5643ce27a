"""The scripts that need nothing but Python: what goes wrong is a sentence with its row."""

from __future__ import annotations

import csv
import subprocess
import sys
from pathlib import Path

import pytest

from tests.end_to_end.running import Server

CLIENTS = Path(__file__).parents[2] / "openapi" / "clients"
ROOMS = (CLIENTS / "rooms.csv").read_text(encoding="utf-8")


def ran(url: str, script: str, *arguments: Path) -> tuple[int, str]:
    """How a script ends, and what it says."""
    done = subprocess.run(
        [sys.executable, CLIENTS / script, *arguments], env={"TAKEOFF_URL": url}, text=True,
        stdout=subprocess.PIPE, stderr=subprocess.STDOUT, timeout=60, check=False,
    )  # fmt: skip
    assert "Traceback" not in done.stdout
    return done.returncode, done.stdout


def ordered(live: Server, folder: Path, sheet: str, encoding: str = "utf-8") -> tuple[int, str]:
    """The same of rooms_to_order on a sheet."""
    (folder / "rooms.csv").write_text(sheet, encoding=encoding)
    url = str(live.client.base_url)
    return ran(url, "rooms_to_order.py", folder / "rooms.csv", folder / "order.csv")


def rows(file: Path) -> list[dict[str, str]]:
    return list(csv.DictReader(file.read_text(encoding="utf-8").splitlines()))


def test_what_rooms_take_adds_up_to_the_order(live: Server, tmp_path: Path) -> None:
    code, _ = ordered(live, tmp_path, ROOMS)
    assert code == 0
    order, by_room = rows(tmp_path / "order.csv"), rows(tmp_path / "order_by_room.csv")
    assert {row["surface"] for row in by_room} == {"porch", "den", "hall"}
    for line in order:
        shares = [int(row["buy"]) for row in by_room if row["item"] == line["item"]]
        assert sum(shares) == int(line["buy"])
    assert "length (in)" in order[0]


def test_semicolons_decimal_commas_and_units_of_rows_are_read(live: Server, tmp_path: Path) -> None:
    """5-3/8 in is 136.525 mm: the same boards, so the same order."""
    _, plain = ordered(live, tmp_path, ROOMS)
    table = list(csv.reader(ROOMS.splitlines()))
    metric = [
        ["mm" if cell == "in" else f"{float(cell) * 25.4:.4f}".replace(".", ",")
         if cell.replace(".", "").isdigit() else cell for cell in row]
        for row in table
    ]  # fmt: skip
    sheet = "\n".join(
        ";".join(f'"{cell.replace(chr(34), chr(34) * 2)}"' for cell in row) for row in metric
    )
    code, told = ordered(live, tmp_path, sheet, "utf-8-sig")
    assert code == 0
    assert told == plain


WRONG = {
    "a side": ("14 ft,", "fourteen,", "Row 3: length: not a length that can be read"),
    "a direction": ("along width", "sideways", "Row 3: boards_run is 'sideways'"),
    "a unit": ("hall,in", "hall,inch", "Row 4: unit is 'inch'"),
    "a profile": ("shiplap", "clapboard", "Row 4: profile: "),
    "a board of two sizes": (
        "0.75,8 ft;12 ft;16 ft\nhall",
        "0.5,8 ft\nhall",
        "Row 3: thickness of",
    ),
    "a name used twice": ("den,", "porch,", "Row 3: room: "),
    "a short row": (
        "cedar,shiplap,5.5,5,0.6875,8 ft;10 ft",
        "cedar",
        "Row 4: it has too few cells",
    ),
    "a column": ("support_spacing", "spacing", "has no column support_spacing"),
}


@pytest.mark.parametrize("name", WRONG)
def test_a_wrong_cell_is_a_sentence_with_its_row(live: Server, tmp_path: Path, name: str) -> None:
    before, after, told = WRONG[name]
    assert before in ROOMS
    code, said = ordered(live, tmp_path, ROOMS.replace(before, after, 1))
    assert code == 1
    assert told in said
    assert not (tmp_path / "order.csv").exists()


def test_names_that_open_a_formula_stay_text(live: Server, tmp_path: Path) -> None:
    code, _ = ordered(live, tmp_path, ROOMS.replace("porch", "-porch"))
    told = (tmp_path / "order_by_room.csv").read_text(encoding="utf-8")
    assert code == 1 or "\n'-porch," in told


@pytest.mark.parametrize(
    ("script", "files"),
    [("takeoff.py", ["rooms.json"]), ("rooms_to_order.py", ["rooms.csv", "order.csv"])],
)
def test_a_service_or_a_file_that_is_not_there_is_a_sentence(
    tmp_path: Path, script: str, files: list[str]
) -> None:
    (tmp_path / "rooms.csv").write_text(ROOMS, encoding="utf-8")
    (tmp_path / "rooms.json").write_text("{}", encoding="utf-8")
    code, told = ran("http://127.0.0.1:9", script, *(tmp_path / file for file in files))
    assert (code, told.startswith("No service answers at http://127.0.0.1:9")) == (1, True)
    code, told = ran("", script, *(tmp_path / f"no{file}" for file in files))
    assert (code, "cannot be read" in told) == (1, True)
