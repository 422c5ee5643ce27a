"""Keys, rates and other origins: off unless set; and what they do when they are."""

from __future__ import annotations

import asyncio
import json
import subprocess
import sys

import pytest
from fastapi import Request

from service.api.keys import Quota, digest, made, watching
from service.api.problems import Declined
from service.api.settings import Settings
from service.app import assemble
from tests.contract.serving import serving
from tests.contract.standins import Catalogue
from tests.contract.test_errors import SETTINGS, is_problem, post

KEY, DIGEST = made()
SHOWN = {"Authorization": f"Bearer {KEY}"}


def with_settings(**changed):
    settings = SETTINGS.model_copy(update={"processes": 1, **changed})
    return serving(assemble(settings, Catalogue()))


def test_without_keys_anyone_may_ask():
    with with_settings() as client:
        assert post(client, {}).status_code == 200
        assert post(client, {}, headers={"Authorization": "Bearer nonsense"}).status_code == 200


def test_with_keys_only_who_shows_one_may_ask():
    with with_settings(keys=(f"other:{'0' * 64}", f"yard:{DIGEST}")) as client:
        assert post(client, {}, headers=SHOWN).status_code == 200
        assert client.get("/v1/kinds", headers=SHOWN).status_code == 200
        for shown in ("", "Bearer", KEY, f"Basic {KEY}", f"Bearer {KEY}x",
                      f"Bearer {DIGEST}", f"Bearer {KEY[:-1]}", "Bearer " + "\u00e9"):  # fmt: skip
            headers = {"Authorization": shown.encode("latin-1")} if shown else {}
            answer = post(client, {}, headers=headers)
            is_problem(answer, "KeyNeeded")
            assert answer.headers["www-authenticate"].startswith("Bearer")
            is_problem(client.get("/v1/kinds", headers=headers), "KeyNeeded")
        assert client.get("/health/live").status_code == 200
        assert client.get("/openapi.json").status_code == 200


def test_watching_has_keys_of_its_own_and_spends_nothing():
    """What callers' keys open is not the operator's page, nor the other way round."""
    settings = {"keys": (f"yard:{DIGEST}",), "rate": "1/hour", "workers": 1}
    own = {"Authorization": "Bearer w"}
    with with_settings(**settings, metrics_keys=(f"watch:{digest('w')}",)) as client:
        for _ in range(3):
            answer = client.get("/metrics", headers=own)
            assert answer.status_code == 200
            assert "ratelimit" not in answer.headers
        is_problem(client.get("/metrics", headers=SHOWN), "KeyNeeded")
        is_problem(client.get("/metrics"), "KeyNeeded")
        is_problem(client.get("/v1/kinds", headers=own), "KeyNeeded")
        assert client.get("/v1/kinds", headers=SHOWN).status_code == 200


@pytest.mark.parametrize(
    ("set_", "shown", "may"),
    [
        ({}, None, True),
        ({"keys": (f"yard:{DIGEST}",)}, KEY, False),
        ({"metrics_keys": (f"watch:{DIGEST}",)}, KEY, True),
        ({"metrics_keys": (f"watch:{DIGEST}",)}, None, False),
    ],
)
def test_who_may_watch(set_, shown, may):
    headers = [(b"authorization", f"Bearer {shown}".encode())] if shown else []
    check = watching(Settings(**set_))
    asked = check(Request({"type": "http", "headers": headers}))
    if may:
        asyncio.run(asked)
    else:
        with pytest.raises(Declined, match="TAKEOFF_METRICS_KEYS"):
            asyncio.run(asked)


def test_the_command_makes_a_key_and_its_digest():
    ended = subprocess.run(
        [sys.executable, "-m", "service", "key", "yard"],
        capture_output=True, text=True, timeout=60, check=True,
    )  # fmt: skip
    key, entry = (line.rsplit(" ", 1)[1] for line in ended.stdout.splitlines())
    assert entry == f"yard:{digest(key)}"
    assert Settings(keys=entry).keys == (entry,)


@pytest.mark.parametrize(
    "keys", ["yard", "yard:abc", f"A B:{'0' * 64}", pytest.param(KEY, id="the key itself")]
)
def test_a_key_that_is_no_digest_is_refused_at_the_start(keys):
    with pytest.raises(ValueError, match="sha256"):
        Settings(keys=keys)


def test_a_caller_over_its_rate_is_told_when_to_come_again():
    entries = (f"yard:{DIGEST}", f"other:{digest('b')}")
    with with_settings(keys=entries, rate="3/hour", workers=1) as client:
        for left in (2, 1, 0):
            answer = client.get("/v1/kinds", headers=SHOWN)
            assert answer.status_code == 200
            assert answer.headers["ratelimit-policy"] == '"default";q=3;w=3600'
            assert answer.headers["ratelimit"].startswith(f'"default";r={left};t=')
        answer = post(client, {}, headers=SHOWN)
        is_problem(answer, "TooMany")
        assert 1 <= int(answer.headers["retry-after"]) <= 3600
        other = client.get("/v1/kinds", headers={"Authorization": "Bearer b"})
        assert other.status_code == 200


def test_each_server_process_grants_its_share_of_the_rate():
    quota = Quota("10/minute", workers=4)
    for _ in range(3):
        quota.spend("yard")
    with pytest.raises(Declined):
        quota.spend("yard")


def test_no_page_of_another_origin_may_ask_unless_it_is_listed():
    ours, theirs = "https://yard.example", "https://elsewhere.invalid"
    asking = {"Access-Control-Request-Method": "POST",
              "Access-Control-Request-Headers": "content-type"}  # fmt: skip
    with with_settings() as client:
        answer = client.options("/v1/takeoffs", headers={"Origin": ours, **asking})
        assert answer.status_code == 405
        assert "access-control-allow-origin" not in answer.headers
    with with_settings(cors_origins=(ours,)) as client:
        answer = client.options("/v1/takeoffs", headers={"Origin": ours, **asking})
        assert answer.status_code == 200
        assert answer.headers["access-control-allow-origin"] == ours
        for job in ({}, {"act": "refuse", "kind": "TradeRefused"}):
            answer = post(client, job, headers={"Origin": ours})
            assert answer.headers["access-control-allow-origin"] == ours
            assert "access-control-allow-credentials" not in answer.headers
        answer = post(client, {}, headers={"Origin": theirs})
        assert "access-control-allow-origin" not in answer.headers
        refused = client.options("/v1/takeoffs", headers={"Origin": theirs, **asking})
        assert refused.status_code == 400
        assert "access-control-allow-origin" not in refused.headers


@pytest.mark.parametrize("origin", ["*", "null", "yard.example", "https://a.example/path"])
def test_an_origin_that_is_none_is_refused_at_the_start(origin):
    with pytest.raises(ValueError, match="origin"):
        Settings(cors_origins=origin)


def test_settings_come_from_the_environment_as_lists(monkeypatch):
    monkeypatch.setenv("TAKEOFF_CORS_ORIGINS", "https://a.example, http://b.example:8000")
    monkeypatch.setenv("TAKEOFF_KEYS", f"yard:{DIGEST},")
    settings = Settings()
    assert settings.cors_origins == ("https://a.example", "http://b.example:8000")
    assert settings.keys == (f"yard:{DIGEST}",)
    assert json.dumps(settings.keys).count(KEY) == 0
