"""The app as a script: a book that is kept, a change order, labels, a drawing from JSON alone."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from html import unescape
from pathlib import Path
from typing import Any, TypeAlias

import pytest

from tests.callers.test_in_a_browser import beside
from tests.end_to_end.running import ROOT, Server

CHANGE = json.loads((ROOT / "openapi" / "examples" / "changes" / "small.json").read_bytes())
Book: TypeAlias = dict[str, Any]


def kept(live: Server, folder: Path, verb: str, other: object) -> str:
    """What the script says; the book is folder/book.json."""
    job = folder / f"{verb}.json"
    if verb != "page":
        job.write_text(json.dumps(other), encoding="utf-8")
    done = subprocess.run(
        [sys.executable, ROOT / "openapi" / "clients" / "site_book.py", folder / "book.json", verb,
         other if verb == "page" else job],
        env={"TAKEOFF_URL": str(live.client.base_url)}, text=True, stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT, timeout=60, check=False,
    )  # fmt: skip
    assert "Traceback" not in done.stdout
    return done.stdout


@pytest.fixture
def book(live: Server, tmp_path: Path) -> Book:
    kept(live, tmp_path, "start", CHANGE["before"])
    kept(live, tmp_path, "change", CHANGE["after"])
    kept(live, tmp_path, "page", tmp_path / "book.html")
    found: Book = json.loads((tmp_path / "book.json").read_bytes())
    return found


def test_the_book_holds_what_the_service_answers(live: Server, book: Book) -> None:
    asked = live.client.post("/v1/takeoffs", json=CHANGE["after"]).json()
    assert book == {
        "job": CHANGE["after"],
        "takeoff": asked,
        "changes": [live.client.post("/v1/changes", json=CHANGE).json()],
    }


def test_two_answers_are_compared_over_their_ids(live: Server, book: Book) -> None:
    """A piece is known by its id: the same piece stays, and all else goes or is new."""
    before, after = (
        {
            row["id"]: [row[key] for key in ("near", "far", "from", "to", "ends", "area")]
            for row in live.client.post("/v1/takeoffs", json=job).json()["pieces"]
        }
        for job in CHANGE.values()
    )
    alike = {name for name in before.keys() & after.keys() if before[name] == after[name]}
    rows = book["changes"][0]["pieces"]
    assert {row["was"] for row in rows if row["do"] == "keep"} == alike != set()
    assert {row["was"] for row in rows if row["do"] == "remove"} == before.keys() - alike
    assert {row["is"] for row in rows if row["do"] == "add"} == after.keys() - alike


def test_its_page_has_a_label_and_a_place_for_each_piece(book: Book, tmp_path: Path) -> None:
    page = (tmp_path / "book.html").read_text(encoding="utf-8")
    pieces = book["takeoff"]["pieces"]
    labels = re.findall(r'<div class="label"><b>(.*?)</b><span>(.*?)</span>', page)
    assert [name for name, _ in labels] == [row["label"] for row in pieces]
    assert "9' 11\"" in {unescape(told).partition(",")[0] for _, told in labels}  # 119 in
    places = re.findall(r'<polygon class="piece" points="([^"]+)"/>', page)
    assert len(places) == len(pieces)
    # 60 in high, and page coordinates grow downward: near and far of the first change places.
    first = [tuple(map(float, corner.split(","))) for corner in places[0].split()]
    row = pieces[0]
    low, end, near, far = row["from"], row["to"], 60 - row["near"], 60 - row["far"]
    assert first == [(low, near), (end, near), (end, far), (low, far)]


def test_its_page_as_it_is_seen(book: Book, tmp_path: Path, screenshots: Path) -> None:
    made = screenshots / "app.png"
    told = beside("picture.mjs", (tmp_path / "book.html").as_uri(), made, "700", "1000")
    assert json.loads(told) == []
    assert made.stat().st_size < 150_000


def test_what_goes_wrong_is_a_sentence(live: Server, tmp_path: Path) -> None:
    told = kept(live, tmp_path, "start", {**CHANGE["before"], "unit": "cubit"})
    assert "/unit" in told
    assert not (tmp_path / "book.json").exists()
    assert "cannot be read" in kept(live, tmp_path, "change", CHANGE["after"])
