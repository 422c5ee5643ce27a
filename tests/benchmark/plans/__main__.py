"""`make bench-plans`: what each job takes of boards, in feet and joints, under each way of saving.

Side by side: with 1/2 in off both ends of every stick and joints for nothing, with raw ends trimmed
by what they become (8.1), with a price for a joint and few of them (6.3, 6.7) as is usual, cut as
you go (8.10), and by a flat 10 %. Culls and spares are left out.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from service.compute import answer

JOBS = sorted(Path(__file__).parent.glob("*.json"))
FEET = {"in": 12.0, "ft": 1.0, "mm": 304.8, "cm": 30.48, "m": 0.3048}

WAYS: dict[str, dict[str, Any]] = {
    "1/2 in off both ends": {"end_trim": "1/2 in", "joint_cost": 0, "most_joints": None},
    "ends by what they become": {"joint_cost": 0, "most_joints": None},
    "and joints with a price": {},
}

Plan = tuple[float, int]
"""Feet of boards, and joints."""


def solved(request: dict[str, Any], rules: dict[str, Any]) -> dict[str, Any]:
    """The answer to a job with some of its rules set for all of it."""
    own = request | {"rules": request.get("rules", {}) | {"cull": 0, "spare": 0} | rules}
    found = answer(json.dumps(own).encode())
    assert found.kind == "answer", found.body
    tables: dict[str, Any] = json.loads(found.body)
    return tables


def plan_of(tables: dict[str, Any]) -> Plan:
    """What is bought of boards, and their field joints."""
    boards = {row["product"] for row in tables["compared"] if row["measured_in"] == "length"}
    per = FEET[tables["units"]["length"]]
    feet = sum(
        row["length"] / per * row["buy"] for row in tables["order"] if row["product"] in boards
    )
    return feet, sum(row["joints"] for row in tables["cut_plans"])


def beside(tables: dict[str, Any]) -> tuple[Plan | None, float]:
    """Cut as you go, where every board can be; and the flat percentage in feet."""
    rows = [row for row in tables["compared"] if row["measured_in"] == "length"]
    per = FEET[tables["units"]["length"]]
    flat = sum(row["would_order"] for row in rows) / per
    if any(row["as_you_go"] is None for row in rows):
        return None, flat
    going = sum(row["as_you_go"] for row in rows) / per
    return (going, sum(row["as_you_go_joints"] for row in rows)), flat


def main() -> None:
    """Print the table, with the sum of all jobs."""
    names = [*WAYS, "cut as you go", "flat 10 %"]
    print("| job | " + " | ".join(names) + " |")
    print("|---" * (len(names) + 1) + "|")
    sums = [[0.0, 0.0] for _ in WAYS]
    for file in JOBS:
        request = json.loads(file.read_text())
        tables = {name: solved(request, rules) for name, rules in WAYS.items()}
        plans = [plan_of(one) for one in tables.values()]
        going, flat = beside(tables["and joints with a price"])
        for total, plan in zip(sums, plans, strict=True):
            total[0] += plan[0]
            total[1] += plan[1]
        cells = [f"{feet:,.0f} ft, {joints}" for feet, joints in plans]
        cells += ["" if going is None else f"{going[0]:,.0f} ft, {going[1]}", f"{flat:,.0f} ft"]
        print(f"| {file.stem.replace('_', ' ')} | " + " | ".join(cells) + " |")
    cells = [f"{feet:,.0f} ft, {joints:.0f}" for feet, joints in sums]
    print("| all | " + " | ".join(cells) + " | | |")


if __name__ == "__main__":
    main()
