"""A file of jobs to a file of answers: each line in its place, as a single call answers it."""

from __future__ import annotations

import csv
import io
import json
import random
from concurrent.futures import Executor, Future
from decimal import Decimal
from pathlib import Path
from typing import Any

import orjson
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.__main__ import main
from service.api.problems import TABLE, declined_by, too_large
from service.bulk.crew import Crew, of_this_machine
from service.bulk.lines import Answered, Bounds, Chunk, Work, answered, lost
from service.bulk.reading import Form, Lines
from service.bulk.reading import jobs as as_jobs
from service.bulk.running import Run
from service.bulk.sheets import rooms as as_rooms
from service.bulk.tally import Tally
from service.bulk.writing import Answers, Done, Unwritable
from service.compute import Picked, answer
from service.rows import csv_out
from service.rows.csv_in import read_csv
from service.rows.results import refused
from tests.contract.bulk_work import echoed
from tests.strategies import requests
from tests.strategies.ailing import AILING
from tests.strategies.asking import body_of, outcome
from tests.strategies.budget import examples
from tests.strategies.killing import alive, killed_after

BOUNDS = Bounds(line_bytes=20_000, seconds=60)
NO_JOBS = [b"{", b"", b'{"unit": "in"}', b'{"unit": "in", "pad": "%s"}' % (20_000 * b"x")]


def room(width: int, depth: int) -> bytes:
    """A job on one line."""
    return body_of(requests.job(requests.room(width, depth)))


class Here(Executor):
    """Does the work where it is asked for."""

    def submit(self, work: Any, /, *asked: Any, **more: Any) -> Future[Any]:
        done: Future[Any] = Future()
        done.set_result(work(*asked, **more))
        return done


ECHO = Work(echoed, lost)
HERE = Crew(2, lambda most: Here(), lambda executor: None)


def test_each_line_is_what_a_single_call_answers() -> None:
    """Answers to the byte, and problems but for the request that they are an instance of."""
    lines = [room(90, 60), *NO_JOBS, room(120, 48), body_of(requests.job(requests.room(0, 1)))]
    found = answered(Chunk(1, tuple(lines)), BOUNDS)
    for line, body in zip(lines, found.bodies, strict=True):
        alone = answer(line, Picked())
        if alone.kind == "answer":
            assert body == alone.body
        elif len(line) > BOUNDS.line_bytes:
            assert json.loads(body)["status"] == 413
        else:
            problem = declined_by(alone.kind, alone.body).body("x")
            assert json.loads(body) | {"instance": ""} == json.loads(problem) | {"instance": ""}
    assert found.tally.lines == len(lines)
    assert sum(found.tally.refused.values()) == 5
    assert set(found.tally.refused) <= {kind.slug for kind in TABLE.values()}


@examples(60)
@given(
    lines=st.lists(st.sampled_from([b"a", b"bb", b"{}"]), max_size=90),
    seconds=st.sampled_from([0.0, 0.001, 0.1, 3.0]),
    workers=st.integers(1, 4),
)
def test_answers_stand_in_the_order_of_lines(
    lines: list[bytes], seconds: float, workers: int
) -> None:
    """However many a chunk has."""

    def work(chunk: Chunk, bounds: Bounds) -> Answered:
        done = echoed(chunk, bounds)
        done.tally.seconds = seconds * len(chunk.lines)
        return done

    crew = Crew(workers, HERE.new, HERE.spent)
    run = Run(crew, BOUNDS, Work(work, lost))
    found = [body for done in run.answers(lines, 1) for body in done.bodies]
    assert found == [b"%d %s" % (number, line) for number, line in enumerate(lines, 1)]


def test_a_line_whose_process_dies_is_tried_again_and_costs_itself_alone() -> None:
    """Two lines end their process; all others are answered, in their places."""
    lines = [b"die" if number in (7, 30) else b"go" for number in range(1, 41)]
    run = Run(of_this_machine(2), BOUNDS, ECHO)
    found = [body for done in run.answers(lines, 1) for body in done.bodies]
    run.close()
    assert len(found) == len(lines)
    for number, (line, body) in enumerate(zip(lines, found, strict=True), 1):
        if line == b"go":
            assert body == b"%d go" % number
        else:
            problem = json.loads(body)
            assert problem["status"] == TABLE["Interrupted"].status
            assert "60 s of processor" in problem["detail"]


def lines_of(form: Form) -> Lines:
    """The records of a file."""
    return Lines("jobs", form.records)


def written(jobs: Path, out: Path, resume: bool, stop_after: int | None = None) -> bool:
    """Answer `jobs` into `out`; stop dead after so many chunks. Whether it came to its end."""
    lines, answers = lines_of(as_jobs(jobs, 99)), Answers(out, resume)
    run = Run(HERE, BOUNDS, ECHO)
    left = run.answers(lines.after(answers.done), answers.done.lines + 1)
    for number, done in enumerate(left):
        if number == stop_after:
            answers._file.close()
            return False
        answers.write(done, lines.digest(answers.done.lines + len(done.bodies)))
    answers.close(whole=True)
    return True


@examples(30)
@given(seed=st.integers(0, 10**6), count=st.integers(0, 60), last=st.booleans())
def test_a_run_that_was_killed_goes_on_to_the_same_bytes(
    tmp_path_factory: pytest.TempPathFactory, seed: int, count: int, last: bool
) -> None:
    """Wherever it was killed, however often, and whatever was written since it was last noted."""
    folder, chance = tmp_path_factory.mktemp("bulk"), random.Random(seed)
    jobs, whole, parts = (folder / name for name in ("jobs", "whole", "parts"))
    text = "\n".join(str(chance.randrange(1000)) for _ in range(count))
    jobs.write_text(text + ("\n" if last and count else ""))
    assert written(jobs, whole, resume=False)
    killed, resume = 0, False
    while not written(jobs, parts, resume, stop_after=chance.randrange(6) if killed < 5 else None):
        killed, resume = killed + 1, True
        with parts.open("ab") as file:
            file.write(b"half a li")
    assert parts.read_bytes() == whole.read_bytes()
    assert whole.read_bytes().count(b"\n") == count
    assert sorted(path.name for path in folder.iterdir()) == ["jobs", "parts", "whole"]


def test_what_cannot_be_gone_on_with_is_told(tmp_path: Path) -> None:
    jobs, out = tmp_path / "jobs", tmp_path / "out"
    jobs.write_bytes(b"1\n2\n3\n")
    answers = Answers(out, resume=False)
    lines = lines_of(as_jobs(jobs, 99))
    first = next(iter(Run(HERE, BOUNDS, ECHO).answers(lines.after(answers.done), 1)))
    answers.write(first, lines.digest(1))
    answers.close(whole=False)
    with pytest.raises(Unwritable, match="--resume"):
        Answers(out, resume=False)
    jobs.write_bytes(b"0\n2\n3\n")
    again = Answers(out, resume=True)
    with pytest.raises(Unwritable, match="does not begin with the 1 lines"):
        list(lines.after(again.done))
    again.close(whole=False)
    note = tmp_path / "out.progress"
    note.write_text(note.read_text().replace("with rules", "with older rules"))
    with pytest.raises(Unwritable, match="begin anew"):
        Answers(out, resume=True)
    note.unlink()
    with pytest.raises(Unwritable, match="nothing to go on with"):
        Answers(out, resume=True)


TALLIES = st.builds(
    Tally,
    answered=st.integers(0, 9),
    refused=st.dictionaries(st.sampled_from(["late", "busy"]), st.integers(1, 9)).map(
        lambda counts: Tally().refused | counts
    ),
    empty=st.integers(0, 9),
    money=st.dictionaries(st.sampled_from(["USD", "EUR"]), st.decimals(0, 99, places=2)),
    lengths=st.dictionaries(st.sampled_from(["in", "m"]), st.decimals(0, 99, places=3)),
)


@examples(60)
@given(one=TALLIES, other=TALLIES)
def test_tallies_add_up_in_any_order_and_are_kept_exactly(one: Tally, other: Tally) -> None:
    both, turned = Tally(), Tally()
    for sums, parts in ((both, (one, other)), (turned, (other, one))):
        for part in parts:
            sums.add(part)
    assert both == turned == Tally.of_json(json.loads(json.dumps(both.as_json())))
    assert both.lines == one.lines + other.lines


def test_the_command_answers_a_file_and_says_what_it_came_to(
    tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """On two processes; what is bought is what the answers order."""
    priced = requests.changed(requests.job(requests.room(120, 96)), "/currency", "USD")
    priced["products"][0]["stock"][0]["price"] = "12.50"
    lines = [room(90, 60), b"{", body_of(priced), room(120, 48)]
    jobs, out = tmp_path / "jobs.ndjson", tmp_path / "answers.ndjson"
    jobs.write_bytes(b"\r\n".join(lines))
    assert main(["bulk", str(jobs), str(out), "--processes", "2"]) == 0
    answers = [json.loads(line) for line in out.read_bytes().splitlines()]
    assert [one.get("status", 200) for one in answers] == [200, 400, 200, 200]
    told = capfd.readouterr().out
    boards = sum(row["buy"] for one in answers for row in one.get("order", ()))
    money = sum(Decimal(str(row["price"])) for row in answers[2]["order"] if row["price"])
    assert "4 lines: 3 answered\n  1 refused: malformed-json\n" in told
    assert f"to buy, by form: board {boards:,}\n" in told
    assert f"for {money:,.2f} USD\n" in told
    assert main(["bulk", str(jobs), str(out)]) == 2
    assert "--resume" in capfd.readouterr().err


def test_each_refusal_stands_in_its_place() -> None:
    """One file with a line for everything that can be said against a job, between sound ones."""
    endless = body_of(requests.job(requests.room("200 m", "200 m")))
    ill = [*NO_JOBS, endless, *(body_of(one) for one in AILING.values())]
    found = answered(Chunk(1, tuple(ill)), BOUNDS)
    types, codes = set[str](), set[str]()
    for number, (line, body) in enumerate(zip(ill, found.bodies, strict=True), 1):
        if not body.startswith(b'{"type":'):
            continue
        alone = outcome(line)
        long = len(line) > BOUNDS.line_bytes
        problem = too_large(20_000) if long else declined_by(alone.kind, alone.body)
        assert body == problem.body(f"line {number}")
        types.add(problem.name)
        codes |= {str(error["code"]) for error in problem.errors}
    by_body = {"MalformedJson", "ShapeRefused", "TradeRefused", "LimitExceeded", "TooLarge"}
    assert types == by_body
    assert len(codes & set(AILING)) > 40


ROOM = "unit,length,width,boards_run,support_spacing,profile,overall,thickness,stock"
SOUND = "in,90,{},along length,16,square_edge,5.5,0.75,8 ft; 12 ft"


def sheet_of(rows: list[str], mark: str = "", end: str = "\r\n") -> bytes:
    """A sheet of these rows, each called by its place."""
    named = (f"{name},{row}" if row.strip(",") else f",{row}" for name, row in enumerate(rows))
    return (mark + end.join([f"room,{ROOM}", *named]) + end).encode()


def rows_of(path: Path, most: int = 2_000) -> bytes:
    """A sheet as a bulk run answers it, here."""
    form = as_rooms(path, most)
    run = Run(HERE, Bounds(most, 60), form.work)
    answers = run.answers(lines_of(form).after(Done(0, 0, "", Tally())), 1)
    bodies = [body + form.end for answer in answers for body in answer.bodies]
    return form.head + b"".join(bodies)


@pytest.mark.parametrize(("mark", "end"), [("", "\r\n"), ("\ufeff", "\n")])
def test_a_sheet_becomes_the_rows_that_it_becomes_whole(
    tmp_path: Path, mark: str, end: str
) -> None:
    """As the operation on all rows of the sheet answers them: sound, refused and empty ones."""
    rows = [
        SOUND.format(60), SOUND.format('"48 ""x"'), SOUND.format('"4\' 2"""'), SOUND.format(0),
        ",,,,,,,,", "=1+1", SOUND.format('"50\r\n"'), SOUND.format(60).replace("8 ft", "2 ft"),
    ]  # fmt: skip
    path = tmp_path / "rooms.csv"
    path.write_bytes(sheet_of(rows, mark, end))
    sheet = read_csv(path.read_bytes())
    whole = json.loads(
        outcome(orjson.dumps({"rows": [one.asked for one in sheet.lines]}), "rows").body
    )
    expected = [csv_out.header(sheet.head.names, ",", marked=bool(mark))]
    for line, row in zip(sheet.lines, whole["rows"], strict=True):
        told = row if line.fault is None else refused({}, line.fault)
        expected.append(csv_out.line(line.cells, told, ","))
    assert rows_of(path) == b"".join(expected)
    assert [row["status"] for row in whole["rows"]].count("ok") == 4


def test_a_row_that_cannot_be_read_costs_itself_alone(tmp_path: Path) -> None:
    """Where the sheet as a whole would be refused: for its quotes, its letters, its size."""
    good = SOUND.format(60).encode()
    rows = [
        good, b'in,"90,60', good, b'in,"90"x,60', good, b"in,\xff,60", good, b"x" * 3_000, b"",
        good + b",more", good,
    ]  # fmt: skip
    path = tmp_path / "rooms.csv"
    path.write_bytes(b"\n".join([ROOM.encode(), *rows]))
    found = list(csv.DictReader(io.StringIO(rows_of(path).decode(), newline="")))
    told = ["", "quotes", "", "quotes", "", "not UTF-8", "", "2000 characters", "10 cells", ""]
    assert len(found) == len(told)
    for row, one in zip(found, told, strict=True):
        assert row["status"] == ("refused" if one else "ok"), row
        assert one in row["error"]


def test_a_sheet_is_answered_as_rows_and_summed_up(
    tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """The command; a file named as if it were another is refused, and so is a sheet of no rooms."""
    path, out = tmp_path / "rooms.csv", tmp_path / "rows.csv"
    path.write_bytes(sheet_of([SOUND.format(60), SOUND.format(""), ",,,,,,,,", SOUND.format(48)]))
    assert main(["bulk", str(path), str(out), "--processes", "1"]) == 0
    assert out.read_bytes() == rows_of(path)
    bought = sum(float(row["bought"] or 0) for row in csv.DictReader(io.StringIO(out.read_text())))
    told = capfd.readouterr().out
    assert "4 lines: 2 answered\n  1 refused: width\n  1 empty\n" in told
    assert f"to buy, in length: {bought:,.2f} in\n" in told
    assert main(["bulk", str(path), str(tmp_path / "answers.ndjson")]) == 2
    assert "name both .csv" in capfd.readouterr().err
    path.write_text("room,length\n1,2\n")
    assert main(["bulk", str(path), str(tmp_path / "more.csv")]) == 2
    assert "no `unit`" in capfd.readouterr().err


def test_a_run_whose_process_is_killed_goes_on_to_the_same_bytes(tmp_path: Path) -> None:
    """Killed outright in the middle; its workers end with it."""
    lines = [room(60 + number % 3, 60) for number in range(40)]
    path, out = tmp_path / "jobs.ndjson", tmp_path / "answers.ndjson"
    path.write_bytes(b"\n".join(lines) + b"\n")
    workers = killed_after(path, out, 3)
    assert 3 <= out.read_bytes().count(b"\n") < 40
    assert main(["bulk", str(path), str(out), "--processes", "1", "--resume"]) == 0
    assert out.read_bytes() == b"".join(outcome(line).body + b"\n" for line in lines)
    assert not alive(workers)
