"""The smallest caller: send a job as a JSON file, print what to order.

    python3 openapi/clients/takeoff.py openapi/examples/small.json

Needs nothing but Python. TAKEOFF_URL says where the service listens, if not on this machine.
"""

import json
import os
import sys
from pathlib import Path
from urllib.error import HTTPError
from urllib.request import Request, urlopen

URL = os.environ.get("TAKEOFF_URL", "http://127.0.0.1:8080")


def take_off(job):
    """The answer to a job, both as Python dicts; SystemExit with the reasons if it is refused."""
    body = json.dumps(job).encode()
    request = Request(f"{URL}/v1/takeoffs", body, {"Content-Type": "application/json"})
    try:
        with urlopen(request, timeout=60) as answer:
            return json.load(answer)
    except HTTPError as refused:
        raise SystemExit(reasons(json.load(refused))) from None


def reasons(problem):
    """A problem as lines to read: what is wrong, where, and the edit that mends it."""
    lines = [f"{problem['status']} {problem['title']}: {problem['detail']}"]
    for error in problem.get("errors", []):
        lines.append(f"  {error.get('pointer', '')}: {error['detail']}")
        for edit in error.get("cure", []):
            lines.append(f"    cure: {edit['op']} {json.dumps(edit['value'])} at {edit['path']}")
    return "\n".join(lines)


if __name__ == "__main__":
    answer = take_off(json.loads(Path(sys.argv[1]).read_text(encoding="utf-8")))
    print(answer["summary"]["in_words"])
    for line in answer["order"]:
        print(f"{line['buy']:6}  {line['product']}  {line['item']}")
