"""The express lane answers as the framework does, to the byte and the header, and leaves alone whatever is unusual."""

import asyncio
from typing import Any

import pytest
from litestar import Litestar

from api.serving import tiny_app
from hangworthy.api.express import is_usual
from hangworthy.settings import Settings

GOOD = b'{"works": [{"ref": "a", "tiny": {"gap_mm": 9}}]}'
JSON = (b"content-type", b"application/json")
APP = tiny_app()


def scope(*headers: tuple[bytes, bytes], method: str = "POST", path: str = "/evaluations", query: bytes = b"") -> dict[str, Any]:
    return {
        "type": "http", "asgi": {"version": "3.0"}, "http_version": "1.1", "method": method, "path": path, "raw_path": path.encode(),
        "query_string": query, "root_path": "", "scheme": "http", "headers": list(headers), "client": ("127.0.0.1", 1),
        "server": ("127.0.0.1", 2), "state": {},
    }  # fmt: skip


def answer(app: Litestar, of: dict[str, Any], *pieces: bytes) -> tuple[int, dict[bytes, bytes], bytes]:
    """Send one request in pieces; return status, headers and body."""
    waiting = [{"type": "http.request", "body": one, "more_body": place + 1 < len(pieces)} for place, one in enumerate(pieces)]
    sent: list[dict[str, Any]] = []

    async def receive() -> dict[str, Any]:
        return waiting.pop(0) if waiting else {"type": "http.disconnect"}

    async def send(message: dict[str, Any]) -> None:
        sent.append(message)

    asyncio.run(app(of, receive, send))
    start, *rest = sent
    return start["status"], dict(start["headers"]), b"".join(one.get("body", b"") for one in rest)


def other_way(app: Litestar, body: bytes) -> tuple[int, dict[bytes, bytes], bytes]:
    """Send the same body the way through the framework: an Origin makes a request unusual, and no setting allows it here."""
    return answer(app, scope(JSON, (b"origin", b"https://form.example")), body)


@pytest.mark.parametrize(
    "body",
    [
        GOOD,
        b'{"works": [{"ref": "a"}, {"ref": "b"}], "stage": "hanging", "venue": "annexe"}',
        b'{"works": [{"ref": "a", "width_mm": "wide"}]}',
        b'{"works": [{"ref": "a", "kind": "plum"}], "venue": "nowhere"}',
        b'{"works": [{"ref": "a"}, {"ref": "a"}]}',
        b"{",
        b"",
        b"\xff",
        b'{"works": [], "works": []}',
    ],
)
def test_both_ways_answer_alike(body: bytes) -> None:
    assert answer(APP, scope(JSON), body) == other_way(APP, body)


def test_a_long_body_and_one_in_pieces_are_read_whole() -> None:
    assert answer(APP, scope(JSON), GOOD[:9], GOOD[9:]) == other_way(APP, GOOD)
    long = b'{"works": [%s]}' % b", ".join(b'{"ref": "w%d", "tiny": {"gap_mm": 9}}' % number for number in range(400))
    large = b'{"works": [{"ref": "a"}]%s}' % (b" " * 40_000)
    for body in (long, large):
        assert answer(APP, scope(JSON), body) == other_way(APP, body)


def test_the_limit_of_a_body_holds_on_both_ways() -> None:
    small = tiny_app(Settings(max_body_bytes=len(GOOD) - 1))
    status, _, body = answer(small, scope(JSON, (b"content-length", b"%d" % len(GOOD))), GOOD)
    assert status == 413
    assert b"problems/" in body


def test_a_failure_is_told_by_the_framework(monkeypatch: pytest.MonkeyPatch) -> None:
    app = tiny_app()

    def fail(body: bytes, view: object) -> None:
        raise RuntimeError("no")

    monkeypatch.setattr(app.state.service, "evaluate", fail)
    status, headers, body = answer(app, scope(JSON), GOOD)
    assert (status, headers[b"content-type"].split(b";")[0]) == (500, b"application/problem+json")
    assert b"RuntimeError" not in body


def figures(app: Litestar) -> dict[str, float]:
    lines = app.state.service.metrics.text().decode().splitlines()
    return {name: float(value) for name, _, value in (line.rpartition(" ") for line in lines if not line.startswith("#"))}


def test_a_request_that_is_cancelled_is_counted() -> None:
    app = tiny_app()

    async def hang(*_: Any) -> None:
        await asyncio.sleep(60)

    async def cancelled() -> None:
        app.state.service.turns.take = hang

        async def receive() -> dict[str, Any]:
            return {"type": "http.request", "body": GOOD}

        asked = asyncio.create_task(app(scope(JSON), receive, hang))
        await asyncio.sleep(0.05)
        asked.cancel()
        await asyncio.wait([asked], timeout=5)
        assert asked.cancelled()

    asyncio.run(cancelled())
    assert figures(app)['hangworthy_requests_total{method="POST",route="/evaluations",status="500"}'] == 1


def test_the_time_that_the_lane_took_counts_where_it_hands_a_failure_on() -> None:
    app = tiny_app()

    async def slow(*_: Any) -> None:
        await asyncio.sleep(0.2)
        raise RuntimeError("no")

    app.state.service.turns.take = slow
    assert answer(app, scope(JSON), GOOD)[0] == 500
    assert figures(app)['hangworthy_request_seconds_sum{route="/evaluations"}'] >= 0.2


def test_a_client_that_has_gone_is_no_error_of_the_lane() -> None:
    status, _, _ = answer(APP, scope(JSON))
    assert status != 200


@pytest.mark.parametrize(
    ("head", "usual"),
    [
        (scope(JSON), True),
        (scope((b"host", b"x"), JSON, (b"x-request-id", b"1")), True),
        (scope(), False),
        (scope((b"content-type", b"application/json; charset=utf-8")), False),
        (scope(JSON, (b"content-encoding", b"gzip")), False),
        (scope(JSON, (b"origin", b"null")), False),
        (scope(JSON, (b"expect", b"100-continue")), False),
        (scope(JSON, query=b"record=false"), True),
        (scope(JSON, query=b"record=true"), False),
        (scope(JSON, (b"idempotency-key", b"1")), False),
        (scope(JSON, method="GET"), False),
        (scope(JSON, path="/packs"), False),
        ({**scope(JSON), "root_path": "/behind"}, False),
    ],
)
def test_what_is_usual(head: dict[str, Any], usual: bool) -> None:
    assert is_usual(head) is usual
