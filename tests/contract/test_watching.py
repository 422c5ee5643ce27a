"""What the operator sees: counters, the log, traces. None of it holds what was sent."""

from __future__ import annotations

import io
import json
import logging
import platform
import re
import subprocess
import sys
import threading
import time
from concurrent.futures import ThreadPoolExecutor
from http.server import BaseHTTPRequestHandler, HTTPServer

import pytest
from prometheus_client import CollectorRegistry
from prometheus_client.openmetrics.parser import text_string_to_metric_families as openmetrics
from prometheus_client.parser import text_string_to_metric_families

from service import RULES_VERSION, __version__
from service.api import logs
from service.api.footprint import Processes
from service.api.metrics import Metrics
from service.app import assemble
from tests.contract.serving import serving
from tests.contract.standins import Catalogue
from tests.contract.test_errors import SETTINGS, is_problem, post

MARK = "qzx9k"


@pytest.fixture
def client():
    with serving(assemble(SETTINGS, Catalogue())) as one:
        yield one


def counted(client) -> dict[tuple[str, ...], float]:
    """Every sample: its name, then its labels' values."""
    text = client.get("/metrics").text
    assert MARK not in text
    return {
        (sample.name, *sample.labels.values()): sample.value
        for family in text_string_to_metric_families(text)
        for sample in family.samples
    }


def test_answers_problems_and_jobs_are_counted(client):
    for _ in range(3):
        assert post(client, {}).status_code == 200
    is_problem(post(client, {"act": "refuse", "kind": "TradeRefused"}), "TradeRefused")
    is_problem(post(client, {"act": "die"}), "Interrupted")
    is_problem(post(client, {"act": "spin"}), "Late")
    client.get(f"/{MARK}")
    client.request("PURGE", "/v1/kinds")
    seen = counted(client)
    route = "/v1/takeoffs"
    assert seen["takeoff_requests_total", "POST", route, "200"] == 3
    assert seen["takeoff_requests_total", "POST", route, "422"] == 1
    assert seen["takeoff_requests_total", "POST", route, "503"] == 2
    assert seen["takeoff_requests_total", "GET", "none", "404"] == 1
    assert seen["takeoff_requests_total", "other", "/v1/kinds", "405"] == 1
    assert seen["takeoff_problems_total", "trade-refused"] == 1
    assert seen["takeoff_jobs_stopped_total", "late"] == 1
    assert seen["takeoff_jobs_stopped_total", "died"] == 1
    assert seen["takeoff_jobs_total", "light"] == 6
    assert seen["takeoff_jobs_waiting", "light"] == 0
    assert seen["takeoff_plan_gap_ratio_count",] == 3
    assert seen["takeoff_plan_gap_ratio_sum",] == pytest.approx(3 * 0.005)  # 0.5 % each
    assert seen["takeoff_request_duration_seconds_count", route] == 6
    assert seen["takeoff_job_duration_seconds_count", "light"] == 6
    assert seen["takeoff_job_wait_seconds_count", "light"] == 6
    assert seen["takeoff_sent_bytes_total", route] > 0
    assert seen["takeoff_build_info", platform.python_version(), RULES_VERSION, __version__] == 1


def test_names_of_metrics_tell_their_base_unit():
    """https://prometheus.io/docs/practices/naming/: seconds, bytes, ratios; totals say so."""
    page, media = Metrics().written()
    assert media.startswith("text/plain; version=0.0.4")
    for family in text_string_to_metric_families(page.decode()):
        assert family.name.startswith(("takeoff_", "process_"))
        assert family.documentation
        assert not re.search("percent|milli|_ms|_kb|_pct", family.name)
        if family.type == "histogram":
            assert family.name.endswith(("_seconds", "_ratio"))
        if family.type == "counter":
            assert all(one.name.endswith(("_total", "_created")) for one in family.samples)


def test_who_asks_for_openmetrics_gets_it():
    page, media = Metrics().written("application/openmetrics-text; version=1.0.0, text/plain;q=0.5")
    assert media.startswith("application/openmetrics-text")
    assert list(openmetrics(page.decode()))


def test_processor_time_counts_on_where_a_process_has_ended():
    """A sum over those alive would fall, and be read as a start from nothing."""
    registry = CollectorRegistry()
    one = subprocess.Popen([sys.executable, "-c", "while True: pass"])
    try:
        processes = Processes(registry)
        while (spent := _processor_time(processes, registry, [one.pid])) < 0.05:
            time.sleep(0.02)
        there = {"process": "compute"}
        assert registry.get_sample_value("process_resident_memory_bytes", there) > 1_000_000
        assert registry.get_sample_value("process_start_time_seconds", there) <= time.time() + 1
        assert registry.get_sample_value("process_open_fds", there) >= 1
    finally:
        one.kill()
        one.wait(10)
    assert _processor_time(processes, registry, []) == spent
    assert registry.get_sample_value("takeoff_processes", there) == 0
    assert registry.get_sample_value("process_resident_memory_bytes", there) == 0


def _processor_time(processes, registry, numbers) -> float:
    processes.look("compute", numbers)
    return registry.get_sample_value("process_cpu_seconds_total", {"process": "compute"})


def test_a_heavy_job_is_counted_in_both_lanes(client):
    """Handed back by the process that is kept for light ones, then done by the other.

    Which of them is asked first is chance, so two jobs are sent at once, until one was handed back.
    """
    post(client, {"act": "sleep", "seconds": 0})
    settings = SETTINGS.model_copy(update={"processes": 2, "heavy_processes": 1})
    with serving(assemble(settings, Catalogue())) as one:
        while one.get("/health/ready").status_code != 200:
            time.sleep(0.05)
        sent = 0
        while ("takeoff_jobs_total", "heavy") not in (seen := counted(one)) and sent < 40:
            with ThreadPoolExecutor(2) as both:
                answers = list(both.map(lambda _: post(one, {"act": "heavy"}), range(2)))
            assert [answer.status_code for answer in answers] == [200, 200]
            sent += 2
    assert seen["takeoff_jobs_total", "light"] == sent
    assert 1 <= seen["takeoff_jobs_total", "heavy"] <= sent


@pytest.fixture
def log():
    """What is written as the log; everything is put back afterwards."""
    root, before = logging.getLogger(), logging.getLogger().handlers
    levels = {name: logging.getLogger(name).level for name in ("", "service", "uvicorn")}
    logs.configure("info")
    page = io.StringIO()
    root.handlers[0].setStream(page)
    yield page
    root.handlers = before
    for name, level in levels.items():
        logging.getLogger(name).setLevel(level)


def lines(log) -> list[dict]:
    """The lines of the log, each of which is an object."""
    return [json.loads(line) for line in log.getvalue().splitlines()]


def test_each_request_has_a_line_and_nothing_of_what_was_sent(client, log):
    head = {"X-Request-Id": "order-17", "User-Agent": MARK}
    post(client, {"act": "answer", "note": MARK}, headers=head)
    client.get(f"/v1/kinds?{MARK}%1b%5b31m")
    post(client, {"act": "escape", "note": MARK})
    client.get("/health/live")
    time.sleep(0.1)
    written = lines(log)
    assert MARK not in json.dumps(written)
    requests = [line for line in written if line["event"] == "request"]
    assert [line["status"] for line in requests] == [200, 422, 500]
    assert requests[0]["request"] == "order-17"
    assert requests[0]["route"] == "/v1/takeoffs"
    assert requests[0]["level"] == "info"
    assert re.fullmatch(r"\d{4}-\d\d-\d\dT[0-9:.]+Z", requests[0]["at"])
    assert requests[0]["sent"] > 0
    assert requests[1]["problem"] == "shape-refused"
    errors = [line for line in written if line["level"] == "error"]
    assert len(errors) == 1
    assert requests[2]["request"] in errors[0]["event"]


def test_a_fault_is_told_by_its_place_on_one_line(log):
    try:
        raise ValueError(f"{MARK}\nforged \x1b[31m")
    except ValueError:
        logging.getLogger("asyncio").exception("it went\nwrong \x7f \u2028")
    (line,) = lines(log)
    assert line["fault"].startswith("ValueError at ")
    assert line["fault"].endswith("in test_a_fault_is_told_by_its_place_on_one_line")
    assert MARK not in json.dumps(line)


def test_a_control_character_stands_in_the_log_only_as_an_escape(log):
    logging.getLogger("service").error("\x00\x1b[31m\x7f\x85\u2028\u2029\r\n%s", "\u202e")
    text = log.getvalue()
    assert text.endswith("\n")
    assert re.fullmatch(r"[ -~]+", text[:-1])


class _Collector(BaseHTTPRequestHandler):
    """Takes in what is exported."""

    def do_POST(self):
        self.server.taken.append((self.path, self.rfile.read(int(self.headers["Content-Length"]))))
        self.send_response(200)
        self.end_headers()

    def log_message(self, *_):
        """Say nothing."""


def test_traces_are_sent_where_an_endpoint_is_set(client):
    with HTTPServer(("127.0.0.1", 0), _Collector) as collector:
        collector.taken = []
        threading.Thread(target=collector.serve_forever, daemon=True).start()
        endpoint = f"http://127.0.0.1:{collector.server_port}/v1/traces"
        settings = SETTINGS.model_copy(update={"traces_endpoint": endpoint, "traces_share": 1.0})
        with serving(assemble(settings, Catalogue())) as one:
            post(one, {"note": MARK})
            one.get("/health/live")
        collector.shutdown()
    assert collector.taken
    path, sent = collector.taken[0]
    assert path == "/v1/traces"
    assert b"/v1/takeoffs" in sent
    assert b"surface-takeoff" in sent
    assert MARK.encode() not in sent
    assert b"/health/live" not in sent


def test_without_an_endpoint_the_library_for_traces_is_not_read():
    script = ("import sys; from service.app import create_app; create_app(); "
              "print([m for m in sys.modules if m.startswith('opentelemetry.sdk')])")  # fmt: skip
    ended = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, timeout=60, check=True
    )
    assert ended.stdout.strip() == "[]"
