"""The quote page as it is served: its own files and no other, under the strictest policy."""

from __future__ import annotations

import re
from collections.abc import Iterator

import httpx
import pytest

from service.api.askings import ASKINGS
from service.api.settings import Settings
from service.app import assemble
from tests.contract.serving import serving
from tests.contract.standins import Catalogue
from tests.contract.test_errors import SETTINGS, has_headers
from tests.contract.test_gate import DIGEST

FRAMED = SETTINGS.model_copy(
    update={"processes": 1, "frame_ancestors": ("https://yard.example",), "keys": (f"a:{DIGEST}",)}
)
FILES = {
    "/quote": "text/html",
    "/quote/quote.css": "text/css",
    "/quote/quote.js": "text/javascript",
}


@pytest.fixture(scope="module")
def client() -> Iterator[httpx.Client]:
    with serving(assemble(SETTINGS, Catalogue())) as one:
        yield one


@pytest.mark.parametrize(("path", "media"), FILES.items())
def test_each_file_is_there_under_the_strictest_policy(client, path, media):
    answer = client.get(path)
    assert answer.status_code == 200
    assert answer.headers["content-type"].startswith(media)
    has_headers(answer)
    policy = answer.headers["content-security-policy"]
    assert "frame-ancestors 'none'" in policy
    assert "unsafe" not in policy
    assert "require-trusted-types-for 'script'" in policy
    again = client.get(path, headers={"If-None-Match": answer.headers["etag"]})
    assert again.status_code == 304


def test_the_page_loads_nothing_from_elsewhere_and_has_no_script_or_style_in_it(client):
    page = client.get("/quote").text
    loaded = re.findall(r"""(?:src|href)=["']([^"']+)""", page)
    assert set(loaded) == {"data:,", "/quote/quote.css", "/quote/quote.js", "/docs"}
    assert not re.search(r"<style|style=|<script>|\son[a-z]+=", page)
    assert not re.search(r"https?://", page + client.get("/quote/quote.css").text)
    script = client.get("/quote/quote.js").text
    # Names of namespaces are not fetched.
    assert set(re.findall(r"https?://[\w./]+", script)) == {"http://www.w3.org/2000/svg"}
    for runs in ("innerHTML", "outerHTML", "insertAdjacentHTML", "document.write", "eval(",
                 "new Function", "localStorage", "sessionStorage", "document.cookie"):  # fmt: skip
        assert runs not in script


def test_every_id_that_the_script_asks_for_is_in_the_page_once(client):
    page, script = client.get("/quote").text, client.get("/quote/quote.js").text
    known = re.findall(r'\bid="([^"]+)"', page)
    assert len(known) == len(set(known))
    fields = re.findall(r"^  (\w+): \[\(\) =>", script, re.MULTILINE)
    assert len(fields) > 12
    assert set(re.findall(r'\$\("([\w-]+)"\)', script)) | set(fields) <= set(known)
    places = re.findall(r'^  \[/.*?/, (?:"([\w-]+)"|null)', script, re.MULTILINE)
    assert len(places) > 8
    assert {place for place in places if place} <= set(known)


def test_it_offers_the_forms_that_there_are_and_asks_for_a_key_where_one_is_needed(client):
    forms = " ".join(ASKINGS[0].forms)
    assert f'data-forms="{forms}" data-keyed="no"' in client.get("/quote").text
    with serving(assemble(FRAMED, Catalogue())) as keyed:
        answer = keyed.get("/quote")
        assert 'data-keyed="yes"' in answer.text
        policy = answer.headers["content-security-policy"]
        assert policy.endswith("frame-ancestors https://yard.example")


def test_it_can_be_left_out():
    settings = SETTINGS.model_copy(update={"processes": 1, "quote": False})
    with serving(assemble(settings, Catalogue())) as client:
        assert client.get("/quote").status_code == 404


@pytest.mark.parametrize("origin", ["*", "'self'", "yard.example", "https://a.example/; script"])
def test_who_may_frame_it_is_an_origin_and_nothing_else(origin):
    with pytest.raises(ValueError, match="origin"):
        Settings(frame_ancestors=origin)
