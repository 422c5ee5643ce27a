"""Keys, rates and other origins: off unless set; and what they do when they are."""

from __future__ import annotations

import asyncio
import json
import subprocess
import sys
from contextlib import suppress

import pytest
from fastapi import Request
from limits.aio.storage import MemoryStorage
from limits.errors import ConfigurationError, StorageError

from service.api.keys import address, digest, made, watching
from service.api.problems import Declined
from service.api.rates import Quota, quota_of
from service.api.settings import Settings
from service.api.tracing import telemetry
from service.app import assemble
from tests.contract.serving import serving
from tests.contract.standins import Catalogue
from tests.contract.test_errors import SETTINGS, is_problem, post

KEY, DIGEST = made()
SHOWN = {"Authorization": f"Bearer {KEY}"}


def with_settings(**changed):
    settings = SETTINGS.model_copy(update={"processes": 1, **changed})
    return serving(assemble(settings, Catalogue()), settings=settings)


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


def test_a_cell_shows_a_key_of_its_own_in_its_address_and_nowhere_else(caplog):
    caplog.set_level("INFO")
    cell = {"cell_keys": (f"sheet:{digest('c')}",)}
    room = "/v1/rectangle.txt?length=12"
    with with_settings(keys=(f"yard:{DIGEST}",), **cell) as client:
        assert client.head(f"{room}&key=c").status_code == 200
        assert client.head(room, headers=SHOWN).status_code == 200
        for path in (room, f"{room}&key={KEY}", f"{room}&key=", f"{room}&key=d"):
            answer = client.get(path)
            is_problem(answer, "KeyNeeded")
            assert "key for cells" in answer.json()["detail"]
            assert KEY not in answer.text
        is_problem(client.get("/v1/kinds", headers={"Authorization": "Bearer c"}), "KeyNeeded")
        is_problem(client.get("/v1/kinds?key=c"), "KeyNeeded")
    logged = [vars(one) for one in caplog.records if one.name.startswith("service")]
    assert "key=" not in str(logged)
    assert [one["caller"] for one in logged if one["status"] == 200] == ["sheet", "yard"]


@pytest.mark.parametrize(
    ("query", "is_traced"), [(b"length=12", True), (b"key=c&length=12", False)]
)
def test_an_address_with_a_key_is_not_traced(query, is_traced):
    settings = Settings(traces_endpoint="http://127.0.0.1:1/v1/traces")
    config = telemetry(settings)
    scope = {"type": "http", "path": "/v1/rectangle.txt", "query_string": query}
    assert config["exclude"](scope) != is_traced
    config["tracer_provider"].shutdown()


@pytest.mark.parametrize(
    ("set_", "shown", "may"),
    [
        ({}, None, True),
        ({"keys": (f"yard:{DIGEST}",)}, KEY, False),
        ({"metrics_keys": (f"watch:{DIGEST}",)}, KEY, True),
        ({"metrics_keys": (f"watch:{DIGEST}",)}, None, False),
    ],
    ids=["no keys", "a key of callers", "a key of its own", "no key shown"],
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
        assert answer.headers["ratelimit"].startswith('"default";r=0;t=')
        assert 1 <= int(answer.headers["retry-after"]) <= 3600
        refused = client.get("/v1/kinds/cloth", headers={"Authorization": "Bearer b"})
        is_problem(refused, "NotFound")
        assert refused.headers["ratelimit"].startswith('"default";r=2;t=')
        stranger = client.get("/v1/kinds")
        is_problem(stranger, "KeyNeeded")
        assert "ratelimit" not in stranger.headers


async def granted(*quotas, times: int) -> int:
    """How many of so many requests are let through, asked of each in turn."""
    count = 0
    for number in range(times):
        with suppress(Declined):
            await quotas[number % len(quotas)].spend("yard")
            count += 1
    return count


def test_each_server_process_grants_its_share_of_the_rate():
    assert asyncio.run(granted(Quota("10/hour", workers=4), times=12)) == 3


def test_server_processes_that_count_in_one_storage_grant_the_rate_together():
    async def counted():
        storage = MemoryStorage()
        return await granted(*(Quota("10/hour", 4, storage) for _ in range(4)), times=40)

    assert asyncio.run(counted()) == 10


class Failing(MemoryStorage):
    """A storage that cannot be reached."""

    asked = 0

    async def acquire_sliding_window_entry(self, *_, **__):
        Failing.asked += 1
        raise StorageError(ConnectionError("no route"))


def test_while_the_storage_fails_each_process_grants_its_share_and_asks_it_seldom(caplog):
    quota = Quota("10/hour", 2, Failing())
    assert asyncio.run(granted(quota, times=20)) == 5
    assert Failing.asked == 1
    assert caplog.text.count("each process counts") == 1


def test_a_storage_that_is_none_is_refused_at_the_start():
    with pytest.raises(ConfigurationError):
        quota_of(Settings(rate="10/hour", rate_storage="nowhere://x"))
    assert quota_of(Settings(rate="10/hour", rate_storage="redis://127.0.0.1:1/0")) is not None


@pytest.mark.parametrize(
    ("host", "caller"),
    [
        ("192.0.2.7", "192.0.2.7"),
        ("2001:db8:1:2:3:4:5:6", "2001:db8:1:2::/64"),
        ("2001:db8:1:2:ffff::", "2001:db8:1:2::/64"),
        ("::ffff:192.0.2.7", "192.0.2.7"),
        ("a forged name", "unknown"),
        ("", "unknown"),
    ],
)
def test_an_address_stands_for_one_caller(host, caller):
    """RFC 5737 and 3849: addresses for examples; RFC 4291, 2.5.4: an interface has 64 bits."""
    assert address(host) == caller


def left(answer) -> int:
    """What the caller has left of its rate."""
    return int(answer.headers["ratelimit"].split("r=")[1].split(";")[0])


def test_callers_behind_a_trusted_gateway_are_told_apart_and_others_cannot_name_themselves():
    limited = {"rate": "100/hour", "workers": 1}
    with with_settings(**limited, trusted_proxies=("127.0.0.1", "10.0.0.0/8")) as client:

        def ask(forwarded):
            return left(client.get("/v1/kinds", headers={"X-Forwarded-For": forwarded}))

        assert [ask("192.0.2.1"), ask("192.0.2.2"), ask("192.0.2.1")] == [99, 99, 98]
        # What stands before the address that the outermost trusted gateway saw is hearsay.
        assert ask("203.0.113.9, 192.0.2.1, 10.1.2.3") == 97
        assert left(client.get("/v1/kinds")) == 99
    with with_settings(**limited) as client:
        told = [left(client.get("/v1/kinds", headers={"X-Forwarded-For": f"192.0.2.{k}"}))
                for k in (1, 2)]  # fmt: skip
        assert told == [99, 98]


@pytest.mark.parametrize("proxy", ["*", "gateway", "10.0.0.1/8", "10.0.0.0/33"])
def test_a_proxy_that_is_no_address_is_refused_at_the_start(proxy):
    with pytest.raises(ValueError, match="address or a network"):
        Settings(trusted_proxies=proxy)


def test_each_line_of_a_batch_spends_what_it_would_alone_and_head_spends_nothing():
    job = b'{"act": "answer"}\n'
    lines = {"Content-Type": "application/x-ndjson"}
    with with_settings(rate="5/hour", workers=1) as client:
        assert client.head("/v1/kinds").status_code == 200
        assert left(client.post("/v1/batches", content=job, headers=lines)) == 4
        answers = client.post("/v1/batches", content=job * 6, headers=lines).text.splitlines()
        told = [json.loads(line).get("status", 200) for line in answers]
        assert told == [200] * 4 + [429] * 2
        assert "send again in" in json.loads(answers[-1])["detail"]
        is_problem(client.get("/v1/kinds"), "TooMany")


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
        assert answer.status_code == 204
        assert answer.headers["access-control-allow-origin"] == ours
        for job in ({}, {"act": "refuse", "kind": "TradeRefused"}):
            answer = post(client, job, headers={"Origin": ours})
            assert answer.headers["access-control-allow-origin"] == ours
            assert "access-control-allow-credentials" not in answer.headers
            seen = answer.headers["access-control-expose-headers"].split(", ")
            assert {"Content-Disposition", "ETag", "RateLimit", "X-Request-Id"} <= set(seen)
        answer = post(client, {}, headers={"Origin": theirs})
        assert "access-control-allow-origin" not in answer.headers
        refused = client.options("/v1/takeoffs", headers={"Origin": theirs, **asking})
        is_problem(refused, "OriginRefused")
        assert "Pages of this origin" in refused.json()["detail"]
        assert "access-control-allow-origin" not in refused.headers
        asking["Access-Control-Request-Method"] = "DELETE"
        refused = client.options("/v1/takeoffs", headers={"Origin": ours, **asking})
        is_problem(refused, "OriginRefused")
        assert refused.json()["detail"] == "A page may send GET, HEAD, POST."


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
