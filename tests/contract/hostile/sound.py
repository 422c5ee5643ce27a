"""What holds of every answer, whatever was asked; and of what is answered in each form."""

from __future__ import annotations

import csv
import io
import json
import re
import unicodedata
import zipfile
import zlib
from collections.abc import Callable
from xml.etree import ElementTree

import httpx

from service.api.problems import MEDIA, MOST_BYTES
from tests.contract.hostile.attacks import MARK

MOST_SECONDS = 10.0


def faults(answer: httpx.Response, wanted: str = "application/json") -> list[str]:
    """What is wrong with an answer; `wanted` is the media type that a 200 has."""
    found = _heading(answer)
    status = answer.status_code
    if answer.elapsed.total_seconds() > MOST_SECONDS:
        found.append(f"took {answer.elapsed.total_seconds():.1f} s")
    if status == 503:
        return [
            *found,
            *_problem(answer),
            *([] if "retry-after" in answer.headers else ["no Retry-After"]),
        ]
    if status >= 500 or status < 200 or (300 <= status < 400 and status != 304):
        return [*found, f"status {status}: {answer.text[:200]}"]
    return found + (_problem(answer) if status >= 400 else form_faults(answer, wanted))


def _heading(answer: httpx.Response) -> list[str]:
    headers = answer.headers
    found = [] if headers.get("x-content-type-options") == "nosniff" else ["may be sniffed"]
    if "default-src 'none'" not in headers.get("content-security-policy", ""):
        found.append("no policy")
    if "location" in headers or "server" in headers:
        found.append("a redirect or a server header")
    if not re.fullmatch(r"[A-Za-z0-9._-]{1,64}", headers.get("x-request-id", "")):
        found.append("no sound request id")
    return found


def _problem(answer: httpx.Response) -> list[str]:
    if answer.headers["content-type"] != MEDIA:
        return [f"{answer.status_code} is {answer.headers['content-type']}"]
    found = [] if len(answer.content) <= MOST_BYTES else [f"{len(answer.content)} bytes"]
    if MARK in answer.text:
        found.append("repeats what was sent: " + answer.text[:200])
    if re.search(r"Traceback|\.py\b|line \d+, in ", answer.text):
        found.append("tells of the code")
    return found


def form_faults(answer: httpx.Response, wanted: str) -> list[str]:
    """What is wrong with a 200 of the media type `wanted`."""
    media = answer.headers.get("content-type", "").split(";")[0]
    if answer.status_code == 304 or not answer.content:
        return []
    if media != wanted:
        return [f"{media} for {wanted}"]
    check = _FORMS.get(media)
    return check(answer.content) if check else [f"nobody checks {media}"]


def _json(body: bytes) -> list[str]:
    try:
        json.loads(body.decode(), parse_constant=_never)
    except ValueError as fault:
        return [f"not JSON: {fault}"]
    return []


def _never(text: str) -> None:
    raise ValueError(text)


def form_faults_of_csv(body: bytes, parted_by: str = ",") -> list[str]:
    """What is wrong with CSV whose columns are parted so."""
    rows = list(csv.reader(io.StringIO(body.decode(), newline=""), delimiter=parted_by))
    found = [cell for row in rows for cell in row if _runs(cell)]
    if len({len(row) for row in rows}) > 1:
        found.append("rows of different lengths")
    return [f"a cell that a spreadsheet runs: {cell!r}" for cell in found]


def _runs(cell: str) -> bool:
    """Whether a spreadsheet would take the cell for a formula; a number is none."""
    if re.fullmatch(r"-?[0-9]+([.,][0-9]+)?", cell):
        return False
    first = unicodedata.normalize("NFKC", cell.lstrip()[:1])
    return first in set("=+-@") or cell[:1] in {"\t", "\r", "\n", "\0"} or "\0" in cell


_DRAWN = {"svg", "g", "path", "rect", "circle", "ellipse", "line", "polyline", "polygon", "text",
          "tspan", "defs", "clipPath", "pattern", "style", "title", "desc", "symbol", "use",
          "marker", "mask"}  # fmt: skip


def _svg(body: bytes) -> list[str]:
    text = body.decode()
    if "<!DOCTYPE" in text or "<!ENTITY" in text or "<?xml-stylesheet" in text:
        return ["a document type or a style sheet from elsewhere"]
    try:
        root = ElementTree.fromstring(body)
    except ElementTree.ParseError as fault:
        return [f"not well-formed: {fault}"]
    found = []
    for one in root.iter():
        name = str(one.tag).rpartition("}")[2]
        found += [] if name in _DRAWN else [f"an element {name}"]
        for key, value in one.attrib.items():
            plain = key.rpartition("}")[2].lower()
            if plain.startswith("on") or (plain == "href" and not value.startswith("#")):
                found.append(f"an attribute {plain}={value!r}")
            if "javascript:" in value.lower() or re.search(r"url\((?!#)", value):
                found.append(f"leads outside: {value!r}")
    return found


def _xlsx(body: bytes) -> list[str]:
    """No formula but the service's own, which never hold text of the request; no outside link."""
    found = []
    with zipfile.ZipFile(io.BytesIO(body)) as book:
        for name in book.namelist():
            if "externalLink" in name or "vbaProject" in name:
                found.append(name)
            text = book.read(name).decode(errors="replace")
            formulas = re.findall(r"<f[^>]*>([^<]*)</f>", text)
            found += [f"formula {one}" for one in formulas if MARK in one or "http" in one.lower()]
            if name.endswith(".rels") and 'TargetMode="External"' in text:
                found.append(f"a link in {name}")
    return found


def _pdf(body: bytes) -> list[str]:
    text = body
    for stream in re.findall(rb"stream\r?\n(.*?)endstream", body, re.DOTALL):
        try:
            text += zlib.decompress(stream)
        except zlib.error:
            continue
    names = (b"/URI", b"/JavaScript", b"/JS", b"/Launch", b"/OpenAction", b"/EmbeddedFile")
    return [name.decode() for name in names if re.search(re.escape(name) + rb"\b", text)]


def _text(body: bytes) -> list[str]:
    body.decode()
    return []


_SHEET = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
_FORMS: dict[str, Callable[[bytes], list[str]]] = {
    "application/json": _json,
    "text/csv": form_faults_of_csv,
    "application/x-ndjson": lambda body: [one for line in body.splitlines() for one in _json(line)],
    "image/svg+xml": _svg,
    _SHEET: _xlsx,
    "application/pdf": _pdf,
    "text/html": _text,
    "text/plain": _text,
    "image/vnd.dxf": _text,
}
