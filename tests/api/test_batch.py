"""Batches over real HTTP: order, faults line by line, bounds, back-pressure both ways, the client's going, draining, recording."""

import asyncio
import gc
import json
import socket
import threading
import time
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import Any

import httpx
import pytest

from api.serving import STORES, Clock, recording_app, running, tiny_app
from hangworthy.api import batching, inflow, lines
from hangworthy.history.ids import uuid7_maker
from hangworthy.history.port import Busy, History, NoSpace
from hangworthy.history.sql import SqlHistory
from hangworthy.settings import Settings

WORK = {"kind": "panel", "tiny": {"gap_mm": 2, "keyed": True}}
HEADERS = {"content-type": "application/jsonl"}
URL = "/evaluations/batch"


def work(ref: Any, **facts: Any) -> str:
    return json.dumps({"ref": str(ref), **WORK, **facts})


def told(response: httpx.Response) -> list[dict[str, Any]]:
    assert response.status_code == 200, response.text
    return [json.loads(line) for line in response.content.split(b"\n")[:-1]]


def post(url: str, body: Any, query: str = "", **headers: str) -> httpx.Response:
    content = body.encode() if isinstance(body, str) else body
    return httpx.post(f"{url}{URL}{query}", content=content, headers=HEADERS | headers, timeout=60)


@pytest.fixture(scope="module")
def url() -> Iterator[str]:
    with running(tiny_app(Settings(max_body_bytes=2_000))) as where:
        yield where


@pytest.fixture
def kept(store: History, clock: Clock) -> Iterator[str]:
    with running(recording_app(store, clock)) as where:
        yield where


def test_each_line_is_answered_in_order_as_a_single_call_answers_it(url: str) -> None:
    asked = [work(n, tiny={"gap_mm": n % 12, "keyed": n % 2 == 0}) for n in range(300)]
    answers = told(post(url, "\n".join(asked)))
    assert [one["line"] for one in answers] == list(range(1, 301))
    for place in (0, 7, 299):
        single = httpx.post(
            f"{url}/evaluations", content=f'{{"works":[{asked[place]}]}}', headers={"content-type": "application/json"}, timeout=60
        )
        assert answers[place] == {"line": place + 1, "evaluation": single.json()}


def test_a_line_is_a_work_or_a_list_of_works_or_a_whole_request(url: str) -> None:
    whole = {"works": [{"ref": "c", **WORK}], "stage": "hanging", "venue": "annexe"}
    body = "\n".join([work("a"), f"[{work('b')},{work('b2')}]", json.dumps(whole), json.dumps({"works": [{"ref": "d"}]})])
    answers = told(post(url, body, "?stage=arrival&venue=house"))
    found = [(one["evaluation"]["stage"], one["evaluation"]["venue"]["name"], len(one["evaluation"]["works"])) for one in answers]
    assert found == [("arrival", "house", 1), ("arrival", "house", 2), ("hanging", "annexe", 1), ("arrival", "house", 1)]


def test_faults_are_told_at_their_line_and_the_others_are_answered(url: str) -> None:
    body = "\n".join([
        "\ufeff" + work("first, after a byte order mark"),
        "",
        "   \r",
        work("a", width_mm="9 kg", colour=1),
        '{"works": [{"ref": "b", "width_mm": "9 kg"}]}',
        '{"ref": "c",}',
        '{"ref": "d", "ref": "e"}',
        work("x" * 3_000),
        "null",
        work("last, without a newline"),
    ])  # fmt: skip
    answers = told(post(url, body))
    assert [one["line"] for one in answers] == [1, 4, 5, 6, 7, 8, 9, 10]
    problems = {one["line"]: one["problem"] for one in answers if "problem" in one}
    assert {line: one["status"] for line, one in problems.items()} == {4: 422, 5: 422, 6: 400, 7: 400, 8: 413, 9: 422}
    assert {one["pointer"] for one in problems[4]["errors"]} == {"/width_mm", "/colour"}
    assert [one["pointer"] for one in problems[5]["errors"]] == ["/works/0/width_mm"]
    assert problems[6]["detail"] == "This is not JSON at column 13. Is there a comma too many before it?"
    assert problems[8]["detail"] == "A line has at most 2,000 bytes; send fewer works in one line."
    assert all(one["instance"].startswith("urn:uuid:") and one["title"] and one["type"] for one in problems.values())


def test_windows_line_ends_and_an_empty_file(url: str) -> None:
    assert [one["line"] for one in told(post(url, f"{work(1)}\r\n{work(2)}\r\n"))] == [1, 2]
    assert told(post(url, "")) == []
    assert told(post(url, "\n\n")) == []


@pytest.mark.parametrize(
    ("body", "said"),
    [
        (json.dumps({"works": [{"ref": "a"}]}, indent=2), "one work to a line"),
        ("[\n" + work(1) + "\n]", "one work to a line"),
        (work(1).encode("utf-16"), "save it as UTF-8"),
    ],
)
def test_what_is_no_file_of_lines_is_refused_before_anything_is_answered(url: str, body: Any, said: str) -> None:
    refused = post(url, body)
    assert (refused.status_code, refused.json()["type"]) == (400, "/problems/malformed-body")
    assert said in refused.json()["detail"]


@pytest.mark.parametrize(
    ("query", "headers", "status"),
    [
        ("", {"content-type": "application/json"}, 415),
        ("", {"content-encoding": "gzip"}, 415),
        ("", {"content-type": "application/jsonl; charset=latin-1"}, 415),
        ("?venue=nowhere", {}, 422),
        ("?stage=later", {}, 422),
        ("?record=true", {}, 422),
        ("?detail=tiny", {}, 422),
        ("?works=1", {}, 422),
        ("", {"idempotency-key": "x" * 241}, 400),
    ],
)
def test_what_is_wrong_with_the_whole_is_a_problem_of_the_usual_kind(url: str, query: str, headers: dict[str, str], status: int) -> None:
    refused = post(url, work(1), query, **headers)
    assert refused.status_code == status
    assert refused.headers["content-type"] == "application/problem+json"


@pytest.mark.parametrize("kind", ["application/jsonl", "application/x-ndjson"])
def test_the_answer_has_the_media_type_that_was_sent(url: str, kind: str) -> None:
    assert post(url, work(1), "", **{"content-type": kind}).headers["content-type"] == kind


def test_brief_answers_leave_out_what_nobody_must_act_on(url: str) -> None:
    full, short = (told(post(url, work(1, tiny={"gap_mm": 9}), f"?detail={one}"))[0]["evaluation"] for one in ("full", "brief"))
    for findings in (full["works"][0].pop("findings"), short["works"][0].pop("findings")):
        states = {one["state"] for one in findings}
    assert states == {"unmet"}
    assert full == short


class Talk:
    """A connection on which lines are sent and answers read as they come."""

    def __init__(self, url: str, query: str = "", headers: str = "") -> None:
        self.port = int(url.rpartition(":")[2])
        self.socket = socket.create_connection(("127.0.0.1", self.port), timeout=60)
        head = f"POST {URL}{query} HTTP/1.1\r\nhost: x\r\ncontent-type: application/jsonl\r\ntransfer-encoding: chunked\r\n{headers}\r\n"
        self.socket.sendall(head.encode())
        self.read = self.socket.makefile("rb")

    def __enter__(self) -> "Talk":
        return self

    def __exit__(self, *_: Any) -> None:
        self.read.close()
        self.socket.close()

    def send(self, text: str) -> None:
        data = text.encode()
        self.socket.sendall(b"%x\r\n%s\r\n" % (len(data), data))

    def end(self) -> None:
        self.socket.sendall(b"0\r\n\r\n")

    def line(self) -> dict[str, Any]:
        while not (line := self.read.readline()).startswith(b"{"):
            assert line, "the connection ended"
        return json.loads(line)

    def rest(self) -> list[dict[str, Any]]:
        """All further answers; the body must end as chunked bodies do."""
        found, last = [], b""
        for line in self.read:
            if line.startswith(b"{"):
                found.append(json.loads(line))
            last = line if line.strip() else last
            if last == b"0\r\n":
                return found
        raise AssertionError("the answer broke off")


def test_an_answer_comes_before_the_next_line_is_sent(kept: str) -> None:
    with Talk(kept) as talk:
        for number in range(1, 4):
            talk.send(work(number) + "\n")
            assert talk.line()["line"] == number
        talk.end()
        assert talk.rest() == []


def test_a_client_that_reads_only_after_it_has_sent_everything_is_answered(url: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """The answers are far more than the sockets hold, so that the service must take in the rest before it can go on."""
    monkeypatch.setattr(inflow, "MEMORY", 1 << 14)
    count = 12_000
    answers = told(post(url, "\n".join(work(n, title="t" * 100) for n in range(count))))
    assert [one["line"] for one in answers] == list(range(1, count + 1))
    assert all("evaluation" in one for one in answers)


def test_memory_stays_bounded_and_a_client_that_does_not_read_is_held_back(url: str, monkeypatch: pytest.MonkeyPatch) -> None:
    seen: list[inflow.Inflow] = []
    make = inflow.Inflow.__init__

    def noted(self: inflow.Inflow, receive: Any) -> None:
        make(self, receive, memory=1 << 14, aside=1 << 18)
        seen.append(self)

    monkeypatch.setattr(batching.Inflow, "__init__", noted)
    sent, piece = 0, "".join(work(n, title="t" * 150) + "\n" for n in range(200))
    with Talk(url) as talk:
        talk.socket.settimeout(3)
        with suppress(TimeoutError):
            while sent < 100_000:
                talk.send(piece)
                sent += 200
        assert seen[0]._held < (1 << 14) + (1 << 18)
        assert (1 << 18) <= seen[0]._aside.size < (1 << 18) + (1 << 18)
        assert sent < 100_000
    until = time.monotonic() + 60
    while not seen[0].gone and time.monotonic() < until:
        time.sleep(0.05)
    assert seen[0].gone  # a client that went while it was held back is noticed when the next piece is taken


def test_the_work_ends_when_the_client_goes(kept: str, store: History, monkeypatch: pytest.MonkeyPatch) -> None:
    began, ended, answer = threading.Event(), threading.Event(), lines.Lines.answer

    async def slow(self: lines.Lines, line: Any) -> bytes:
        if line.number < 3:
            return await answer(self, line)
        began.set()
        try:
            await asyncio.sleep(30)
        except asyncio.CancelledError:
            ended.set()
            raise
        return b""

    monkeypatch.setattr(lines.Lines, "answer", slow)
    with Talk(kept) as talk:
        talk.send("".join(work(n) + "\n" for n in range(6)))
        assert [talk.line()["line"] for _ in range(2)] == [1, 2]
        assert began.wait(60)
    assert ended.wait(60)


def test_others_are_served_while_a_batch_runs(url: str) -> None:
    done = threading.Event()

    def long() -> None:
        told(post(url, "\n".join(work(n) for n in range(6_000))))
        done.set()

    thread = threading.Thread(target=long)
    thread.start()
    meanwhile = 0
    while not done.is_set():
        assert httpx.get(f"{url}/health/live", timeout=60).status_code == 200
        meanwhile += not done.is_set()
    thread.join()
    assert meanwhile > 3


def test_a_service_that_stops_says_with_which_line_to_go_on() -> None:
    app = tiny_app()
    with running(app) as url, Talk(url) as talk:
        talk.send("".join(work(n) + "\n" for n in range(3)))
        assert [talk.line()["line"] for _ in range(3)] == [1, 2, 3]
        (batch,) = app.state.service.batches
        assert not batch._inflow.ended
        app.state.service.drain()
        talk.send(work("too late") + "\n")
        talk.end()
        (last,) = talk.rest()
        assert (last["line"], last["problem"]["status"]) == (4, 503)
        assert "send this line and those after it again" in last["problem"]["detail"]


def test_what_is_recorded_can_be_read_again(kept: str) -> None:
    answers = told(post(kept, "\n".join(work(n) for n in range(100)), "?venue=annexe"))
    ids = [one["evaluation"]["id"] for one in answers]
    assert len(set(ids)) == 100
    for place in (0, 99):
        assert httpx.get(f"{kept}/evaluations/{ids[place]}", timeout=60).json() == answers[place]["evaluation"]
    listed = httpx.get(f"{kept}/evaluations", params={"venue": "annexe", "limit": 200}, timeout=60).json()["items"]
    assert {one["id"] for one in listed} == set(ids)
    assert "id" not in told(post(kept, work(1), "?record=false"))[0]["evaluation"]
    assert len(httpx.get(f"{kept}/evaluations", params={"limit": 200}, timeout=60).json()["items"]) == 100


def test_a_batch_sent_again_with_its_key_is_recorded_once(kept: str) -> None:
    body = "\n".join([work("a"), work("b"), "{", work("c")])
    first, again = (post(kept, body, **{"idempotency-key": "monday"}) for _ in range(2))
    assert [one.get("evaluation") for one in told(first)] == [one.get("evaluation") for one in told(again)]
    other = told(post(kept, body.replace('"a"', '"z"'), **{"idempotency-key": "monday"}))
    assert (other[0]["problem"]["type"], other[1]["evaluation"]) == ("/problems/other-body", told(first)[1]["evaluation"])
    assert len(httpx.get(f"{kept}/evaluations", timeout=60).json()["items"]) == 3


def test_a_full_queue_is_waited_for_and_a_full_disk_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    store, clock = STORES["fake"](tmp_path, Clock()), Clock()
    real, tries = store.record, []

    async def busy(one: Any) -> Any:
        tries.append(one.works[0].ref)
        if tries.count(one.works[0].ref) < 4:
            raise Busy("full")
        if one.works[0].ref == "3":
            raise NoSpace
        return await real(one)

    monkeypatch.setattr(store, "record", busy)
    with running(recording_app(store, clock)) as url:
        answers = told(post(url, "\n".join(work(n) for n in range(5))))
        assert [one.get("problem", {}).get("status") for one in answers] == [None, None, None, 507, None]
        monkeypatch.setattr(lines, "PATIENCE", 0.0)
        tries.clear()
        assert told(post(url, work("new")))[0]["problem"]["status"] == 503


def test_lines_with_keys_get_through_a_full_queue_too(tmp_path: Path) -> None:
    """A line that found the queue full has claimed its key already; it must not stand in its own way."""
    clock = Clock()
    store = SqlHistory(f"sqlite:///{tmp_path}/h.sqlite3", clock=clock, new_id=uuid7_maker(clock), queue=64, group=16)
    body = "\n".join(json.dumps({"ref": str(n)}) for n in range(400))
    with running(recording_app(store, clock)) as url:
        answers = told(post(url, body, **{"idempotency-key": "monday"}))
        assert [one["problem"] for one in answers if "problem" in one] == []
        assert [one["evaluation"]["id"] for one in told(post(url, body, **{"idempotency-key": "monday"}))] == [
            one["evaluation"]["id"] for one in answers
        ]


def test_a_single_calls_key_is_never_that_of_a_line(kept: str) -> None:
    single = {"works": [{"ref": "other", **WORK}]}
    for key in ("monday:1", "monday1"):
        assert httpx.post(f"{kept}/evaluations", json=single, headers={"idempotency-key": key}, timeout=60).status_code == 201
    assert "evaluation" in told(post(kept, work("a"), **{"idempotency-key": "monday"}))[0]


def test_a_rule_pack_that_breaks_the_service_breaks_one_line(url: str, monkeypatch: pytest.MonkeyPatch) -> None:
    broken = lines.as_request

    def fails(text: bytes, **missing: Any) -> Any:
        if b"bad" in text:
            raise RuntimeError("secret")
        return broken(text, **missing)

    monkeypatch.setattr(lines, "as_request", fails)
    response = post(url, "\n".join([work("good"), work("bad"), work("good")]))
    assert [one.get("problem", {}).get("status") for one in told(response)] == [None, 500, None]
    assert "secret" not in response.text


def test_nothing_is_left_of_a_batch(url: str) -> None:
    for _ in range(3):
        told(post(url, "\n".join(work(n) for n in range(50))))
    until = time.monotonic() + 60
    while time.monotonic() < until:
        gc.collect()
        left = [one for one in gc.get_objects() if isinstance(one, inflow.Inflow)]
        if not left:
            return
        time.sleep(0.1)
    raise AssertionError(f"{len(left)} are left")
