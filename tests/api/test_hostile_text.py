"""Texts that would break something elsewhere: they come back as they were sent or are refused, and change no line of the log."""

import json
import logging
import re
from typing import Any
from urllib.parse import quote

import pytest
from litestar.testing import TestClient

from api.serving import Clock, recording_app
from hangworthy.history.port import History

HOSTILE = {
    "SQL": "x'); DROP TABLE evaluations; --",
    "SQL wildcards": "%_\\%",
    "HTML": "<script>alert('a')</script>&amp;",
    "a formula": "=1+1|' /C calc'!A0",
    "a format": "{0.__class__} %s %(x)s ${jndi:x}",
    "bidi": "a\u202eb\u2066c",
    "a log line": 'a\n{"level": "error", "status": 500}',
    "carriage return": "a\r\nSet-Cookie: b=c",
    "escape": "a\x1b[31mb",
    "control": "a\x01\x7f\x85b",
    "zero": "a\x00b",
    "half a character": "a\ud800b",
    "no character": "a\ufffe\uffffb",
    "line separators": "a\u2028\u2029b",
    "spaces": "a\u00a0\u3000b",
    "combining": "e\u0301\u0301 \U0001f468\u200d\U0001f469",
}
REFUSED = {"zero": 422, "half a character": 400, "a log line": 422, "carriage return": 422}  # a ref is one line


def body(text: str, **more: Any) -> bytes:
    """Return a request with the text in every field that takes one."""
    work = {
        "ref": text,
        "title": text,
        "artist_ref": text,
        "artist_name": text,
        "medium": text,
        "tiny": {"note": text, "marks": [text[:10]]},
    }
    return json.dumps({"works": [work], **more}).encode()


@pytest.mark.parametrize("kind", HOSTILE)
def test_a_text_comes_back_as_it_was_sent_or_is_refused(client: TestClient, kind: str, caplog: pytest.LogCaptureFixture) -> None:
    text = HOSTILE[kind]
    with caplog.at_level(logging.INFO):
        made = client.post("/evaluations", content=body(text), headers={"content-type": "application/json"})
        if kind in REFUSED:
            assert made.status_code == REFUSED[kind]
            assert all(one["pointer"].startswith("/works/0/") for one in made.json()["errors"])
        else:
            assert made.status_code == 201, made.text
            comes_back(client, made, text)
        asked_for(client, text)
    no_line_is_changed(caplog, text)


def comes_back(client: TestClient, made: Any, text: str) -> None:
    path, id_ = made.headers["location"], made.json()["id"]
    assert client.get(path).json()["works"][0]["ref"] == text
    address = quote(text, safe="")
    assert [one["id"] for one in client.get(f"/works/{address}/history").json()["items"]] == [id_]
    for name in ("ref", "artist_ref"):
        assert [one["works"] for one in client.get("/evaluations", params={name: text}).json()["items"]] == [[text]]
    assert client.get("/evaluations", params={"ref": text + "x"}).json()["items"] == []
    later = client.post("/evaluations", content=body(text, stage="arrival"), headers={"content-type": "application/json"}).json()["id"]
    assert client.get(f"/evaluations/{later}/changes?since={id_}").json()["changes"]["stage"] == ["offer", "arrival"]
    assert client.post(f"{path}/replay").json()["identical"]
    erased = client.delete(f"/works/{address}").json()
    assert (erased["ref"], erased["evaluations"]) == (text, 2)


def asked_for(client: TestClient, text: str) -> None:
    """Put the text wherever an address or a header takes one; nothing may fail on it."""
    address = quote(text.encode("utf-8", "replace"), safe="")
    for path in (f"/venues/{address}", f"/rules/{address}", f"/evaluations/{address}", f"/{address}", f"/evaluations?venue={address}",
                 f"/evaluations?unmet={address}&pack={address}", f"/evaluations?since={address}", f"/limits?venue={address}"):  # fmt: skip
        assert client.get(path).status_code < 500, path
    kept = client.put(f"/venues/{address}", json={"title": "x"}, headers={"if-none-match": "*"})
    assert kept.status_code in (201, 404)
    if kept.status_code == 201:
        assert client.get(f"/venues/{address}").json()["name"] == kept.json()["name"]
    for name in ("authorization", "if-none-match", "x-request-id", "idempotency-key"):
        header = re.sub(r"[\r\n\x00]", "", text).encode("utf-8", "replace")
        assert client.get("/evaluations", headers={name: header}).status_code == 200


def no_line_is_changed(caplog: pytest.LogCaptureFixture, text: str) -> None:
    lines = [record.getMessage() for record in caplog.records if record.name.startswith("hangworthy")]
    assert len(lines) > 10
    for line in lines:
        assert line.isascii()
        assert line.isprintable()
        assert text[:-1] not in line
        assert set(json.loads(line)) <= {"time", "level", "method", "path", "status", "milliseconds", "request_id", "works"}


@pytest.mark.parametrize("kind", HOSTILE)
def test_a_venues_texts_are_one_clean_line_or_refused(client: TestClient, kind: str) -> None:
    text = HOSTILE[kind]
    content = {"title": text, "walls": [{"name": text}], "limits": {"tiny.gap_mm": {"value": 5, "reason": text}}}
    made = client.put(
        "/venues/loft", content=json.dumps(content), headers={"if-none-match": "*", "content-type": "application/json"}
    )  # fmt: skip
    if made.status_code == 201:
        shown = client.get("/venues/loft").json()
        assert (shown["title"], [*shown["walls"]], shown["limits"][0]["reason"]) == (text, [text], text)
        assert text.isprintable()
    else:
        assert made.status_code in (400, 422)
        assert {one["pointer"] for one in made.json()["errors"]} <= {"/title", "/walls/0/name", "/limits/tiny.gap_mm/reason"}


def test_figures_hold_no_fact_and_no_name(store: History, clock: Clock) -> None:
    with TestClient(recording_app(store, clock)) as client:
        for _ in range(2):
            client.post("/evaluations", content=body("Secret-7"), headers={"content-type": "application/json"})
        client.post("/evaluations?record=false", json={"works": [{"ref": "a"}]})
        client.get("/works/Secret-7/history")
        client.get("/Secret-7")
        response = client.get("/metrics")
    assert response.headers["content-type"].startswith("text/plain; version=0.0.4")
    text = response.text
    assert "Secret" not in text
    figures = dict(line.rsplit(" ", 1) for line in text.splitlines() if not line.startswith("#"))
    assert figures['hangworthy_requests_total{method="POST",route="/evaluations",status="201"}'] == "2.0"
    assert figures['hangworthy_requests_total{method="GET",route="/works/{ref}/history",status="200"}'] == "1.0"
    assert figures['hangworthy_requests_total{method="GET",route="(unknown)",status="404"}'] == "1.0"
    assert figures['hangworthy_evaluations_total{outcome="ready",recorded="true"}'] == "2.0"
    assert figures['hangworthy_evaluations_total{outcome="ready",recorded="false"}'] == "1.0"
    assert figures['hangworthy_request_seconds_count{route="/evaluations"}'] == "3.0"
    assert float(figures["hangworthy_queue_capacity"]) > 0
