"""The same job in each form that it is answered in: the figures of the order are the same."""

from __future__ import annotations

import csv
import io
from decimal import Decimal

import httpx
import pytest
from openpyxl import load_workbook

from tests.callers.programs import ran
from tests.end_to_end.running import ROOT, Server

KINDS = ROOT / "service" / "products" / "kinds"
PORCH = (KINDS / "boarding" / "examples" / "porch.json").read_bytes()
TYPED = {"Content-Type": "application/json"}


@pytest.fixture(scope="module")
def told(live: Server) -> dict[str, httpx.Response]:
    """The porch in each form."""
    found = {
        form: live.client.post(f"/v1/takeoffs.{form}", content=PORCH, headers=TYPED)
        for form in ("json", "csv", "xlsx", "pdf", "txt")
    }
    assert {one.status_code for one in found.values()} == {200}
    return found


def money(price: object) -> Decimal | None:
    """A price in cents, however it is written; None where none is."""
    return None if price in (None, "") else Decimal(str(price)).quantize(Decimal("0.01"))


def lines(told: dict[str, httpx.Response]) -> list[tuple[str, int, Decimal | None]]:
    """Item, how many, price: of each line of the order."""
    return [(row["item"], row["buy"], money(row["price"])) for row in told["json"].json()["order"]]


def total(told: dict[str, httpx.Response]) -> Decimal:
    return sum((price for _, _, price in lines(told) if price is not None), Decimal(0))


def test_csv_has_the_lines(told: dict[str, httpx.Response]) -> None:
    rows = csv.DictReader(io.StringIO(told["csv"].text))
    found = [(row["item"], int(row["buy"]), money(row["price_usd"])) for row in rows]
    assert found == lines(told)


def test_the_workbook_has_the_lines_and_their_total(told: dict[str, httpx.Response]) -> None:
    sheet = load_workbook(io.BytesIO(told["xlsx"].content), data_only=True)["order"]
    names, *rows, last = sheet.iter_rows(values_only=True)
    table = [dict(zip(names, row, strict=True)) for row in (*rows, last)]
    found = [(row["item"], row["buy"], money(row["price_usd"])) for row in table]
    assert found == [*lines(told), (None, None, total(told))]


def written(body: bytes, form: str) -> str:
    """The text that is read on a page."""
    if form == "pdf":
        body = ran("pdftotext", "-layout", "-", "-", sent=body)
    return body.decode()


@pytest.mark.parametrize("form", ["pdf", "txt"])
def test_paper_has_the_lines_and_their_total(told: dict[str, httpx.Response], form: str) -> None:
    """Each line of the order, and the sum of their prices in the line of the total."""
    page = [" ".join(line.split()) for line in written(told[form].content, form).splitlines()]
    (summed,) = [line for line in page if line.startswith("total ")]
    assert f" {total(told):,.2f} " in f"{summed} "
    for item, _, price in lines(told):
        assert price is None or any(f"{price:,.2f}" in line for line in page), item


ROOM = {
    "type": "ceiling",
    "rectangle": ["14 ft", "11 ft"],
    "supports": {"direction": 90, "spacing": 16},
    "layers": [{"kind": "boarding", "product": "pine", "direction": 0}],
}
PINE = {
    "id": "pine",
    "form": "board",
    "profile": "tongue_and_groove",
    "overall": "5-3/8 in",
    "coverage": "5-1/8 in",
    "thickness": "3/4 in",
    "stock": [{"length": "12 ft"}, {"length": "16 ft"}],
}


def test_sixty_rooms_are_told_in_parts_under_50_kilobytes(live: Server) -> None:
    """What a site shows of a house: its order alone, and all that it shows as it is sent."""
    rooms = [{**ROOM, "id": f"room{k}"} for k in range(60)]
    house = {"unit": "in", "surfaces": rooms, "products": [PINE]}
    order, shown = (
        live.client.post("/v1/takeoffs.json", params={"tables": tables}, json=house)
        for tables in ("summary,order", "summary,surfaces,order,findings")
    )
    assert order.json()["order"] == shown.json()["order"] != []
    assert len(shown.json()["surfaces"]) == 60
    assert len(order.content) < 50_000
    assert shown.headers["content-encoding"] in ("zstd", "gzip")
    assert shown.num_bytes_downloaded < 50_000
