"""What an operator reads and applies speaks of what is there: settings, metrics, alerts, files."""

from __future__ import annotations

import json
import re
from pathlib import Path

import yaml

from service.api.metrics import Metrics
from service.api.settings import Settings

ROOT = Path(__file__).parents[2]
DOCKER = ROOT / "docker"
PAGE = (DOCKER / "OPERATIONS.md").read_text(encoding="utf-8")
RULES = yaml.safe_load((DOCKER / "observability/alerts.yaml").read_text())["groups"][0]["rules"]
WRITTEN = [
    *DOCKER.rglob("*.yaml"), *DOCKER.rglob("*.env"), *DOCKER.rglob("*.md"), DOCKER / "Dockerfile",
]  # fmt: skip


def test_each_alert_has_its_section_and_each_section_its_alert() -> None:
    """In the order in which they are written, with what it weighs."""
    alerts = PAGE.split("## Alerts", 1)[1].split("\n## ", 1)[0]
    sections = re.findall(r"^### (\w+)\n\n(.*?)(?=\n###|\Z)", alerts, re.M | re.S)
    assert [name for name, _ in sections] == [rule["alert"] for rule in RULES]
    for (_, text), rule in zip(sections, RULES, strict=True):
        assert f"({rule['labels']['severity']}" in text


def test_each_setting_that_is_spoken_of_is_one() -> None:
    known = {f"TAKEOFF_{name.upper()}" for name in Settings.model_fields}
    for file in WRITTEN:
        named = set(re.findall(r"TAKEOFF_[A-Z_]*[A-Z]", file.read_text(encoding="utf-8")))
        assert named <= known, file.name


def test_each_metric_that_is_asked_for_is_told() -> None:
    """By alerts and dashboard; `up` is the scrape's own."""
    panels = json.loads((DOCKER / "observability/dashboard.json").read_text())["panels"]
    asked = [rule["expr"] for rule in RULES]
    asked += [target["expr"] for panel in panels for target in panel["targets"]]
    names = {name for expr in asked for name in re.findall(r"\b(?:takeoff|process)_\w+", expr)}
    told = set(re.findall(r"^# TYPE (\w+)", Metrics().written()[0].decode(), re.M))
    ends = r"_(bucket|sum|count)$"
    assert {re.sub(ends, "", name) for name in names} <= told


def test_each_file_that_is_linked_is_there() -> None:
    for target in re.findall(r"\]\(([^)#]+)", PAGE):
        assert (DOCKER / target).exists(), target
