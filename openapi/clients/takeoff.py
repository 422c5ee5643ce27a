"""The smallest caller: send a job as a JSON file, print what to order.

    python3 openapi/clients/takeoff.py openapi/examples/small.json

Needs nothing but Python. TAKEOFF_URL says where the service listens, if not on this machine, and
TAKEOFF_KEY holds the key, where the operator asks for one.
"""

import json
import os
import sys
from pathlib import Path
from urllib.error import HTTPError, URLError
from urllib.request import Request, urlopen

URL = os.environ.get("TAKEOFF_URL", "http://127.0.0.1:8080")


class Refused(Exception):
    """The service does not take it off; `problem` says why."""

    def __init__(self, problem):
        super().__init__(problem["title"])
        self.problem = problem


def post(path, body):
    """The answer to a body, both as Python dicts. Raises Refused; SystemExit if none answers."""
    headers = {"Content-Type": "application/json"}
    if key := os.environ.get("TAKEOFF_KEY"):
        headers["Authorization"] = f"Bearer {key}"
    try:
        with urlopen(
            Request(f"{URL}{path}", json.dumps(body).encode(), headers), timeout=60
        ) as told:
            return json.load(told)
    except HTTPError as refused:
        raise Refused(json.load(refused)) from None
    except (URLError, TimeoutError, ConnectionError) as silent:
        why = getattr(silent, "reason", silent)
        sys.exit(
            f"No service answers at {URL} ({why}): start it, or say where it is in TAKEOFF_URL."
        )
    except ValueError:
        sys.exit(f"What answers at {URL} is not this service: say where it is in TAKEOFF_URL.")


def take_off(job):
    """The takeoff of a job."""
    return post("/v1/takeoffs", job)


def reasons(problem):
    """A problem as lines to read: what is wrong, where, and the edit that mends it."""
    lines = [f"{problem['status']} {problem['title']}: {problem['detail']}"]
    for error in problem.get("errors", []):
        lines.append(f"  {error.get('pointer', '')}: {error['detail']}")
        for edit in error.get("cure", []):
            lines.append(f"    cure: {edit['op']} {json.dumps(edit['value'])} at {edit['path']}")
    return "\n".join(lines)


def read_job(file):
    """The JSON of a file; SystemExit with a sentence if it cannot be read."""
    try:
        return json.loads(Path(file).read_text(encoding="utf-8"))
    except OSError as fault:
        sys.exit(f"{file} cannot be read: {fault.strerror}.")
    except ValueError as fault:
        sys.exit(f"{file} is not JSON: {fault}.")


def main(file):
    try:
        answer = take_off(read_job(file))
    except Refused as refused:
        sys.exit(reasons(refused.problem))
    print(answer["summary"]["in_words"])
    for line in answer["order"]:
        print(f"{line['buy']:6}  {line['product']}  {line['item']}")


if __name__ == "__main__":
    main(*sys.argv[1:2]) if len(sys.argv) == 2 else sys.exit(__doc__)
