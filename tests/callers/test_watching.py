"""Alerts and dashboard: promtool reads every expression, and tries every alert both ways."""

from __future__ import annotations

import json
from pathlib import Path

import yaml

from tests.callers.commands import said
from tests.callers.programs import ROOT

FOLDER = ROOT / "docker/observability"


def test_alerts_say_what_they_should_and_nothing_on_a_quiet_day() -> None:
    """The cases of alerts.test.yaml; each alert has one in which it speaks."""
    said("promtool", "check", "rules", str(FOLDER / "alerts.yaml"))
    said("promtool", "test", "rules", str(FOLDER / "alerts.test.yaml"))
    rules = yaml.safe_load((FOLDER / "alerts.yaml").read_text())["groups"][0]["rules"]
    cases = yaml.safe_load((FOLDER / "alerts.test.yaml").read_text())["tests"]
    speaks = {
        one["alertname"]
        for case in cases
        for one in case.get("alert_rule_test", ())
        if one["exp_alerts"]
    }
    assert speaks == {rule["alert"] for rule in rules}


def test_what_is_scraped_is_read() -> None:
    said("promtool", "check", "config", "--syntax-only", str(FOLDER / "scrape.yaml"))


def test_each_panel_asks_what_can_be_asked(tmp_path: Path) -> None:
    panels = json.loads((FOLDER / "dashboard.json").read_text())["panels"]
    rules = [
        {"record": f"panel:{panel['id']}_{target['refId'].lower()}", "expr": target["expr"]}
        for panel in panels
        for target in panel["targets"]
    ]
    file = tmp_path / "panels.yaml"
    file.write_text(yaml.safe_dump({"groups": [{"name": "panels", "rules": rules}]}))
    assert f"{len(rules)} rules found" in said("promtool", "check", "rules", str(file))
