"""The service: what each address answers, ids, headers, the log, HEAD and OPTIONS, faults, CORS, and the page."""

import asyncio
import json
import logging
import threading
from datetime import datetime, timedelta, timezone
from typing import Any

import pytest
from litestar.testing import TestClient

from api.serving import NEW_ID, NOW, tiny_app, tiny_catalogue, tiny_venues
from api.tiny_pack import tiny_pack
from hangworthy.api import core
from hangworthy.api.once import Once
from hangworthy.api.openapi import dump
from hangworthy.app import create_app
from hangworthy.discovery import installed_pack
from hangworthy.engine.catalogue import build_catalogue
from hangworthy.engine.evaluate import Evaluator
from hangworthy.engine.fault import Fault
from hangworthy.engine.ruleset import Venue
from hangworthy.settings import Settings

CLIENT = TestClient(tiny_app(), raise_server_exceptions=False)
GETS = [
    "/",
    "/packs",
    "/rules",
    "/rules/tiny.gap",
    "/limits",
    "/venues",
    "/venues/annexe",
    "/health/live",
    "/health/ready",
    "/openapi.json",
]
GETS += ["/problems/not-found"]


def ask(*works: Any, **more: Any) -> Any:
    response = CLIENT.post("/evaluations", json={"works": list(works), **more})
    assert response.status_code == 200, response.text
    return response.json()


def test_works_are_answered_in_their_order() -> None:
    good = {"ref": "b", "kind": "panel", "tiny": {"gap_mm": 2, "keyed": True}}
    bad = {"ref": "a", "kind": "panel", "tiny": {"gap_mm": "9 mm"}}
    answer = ask(good, bad)
    assert [(work["ref"], work["outcome"], work["at_worst"], work["settled"]) for work in answer["works"]] == [
        ("b", "ready", "ready", True),
        ("a", "prepare", "repair", False),
    ]
    assert (answer["outcome"], answer["at_worst"], answer["settled"]) == ("prepare", "repair", False)
    assert answer["evaluated_at"] == "2026-03-31T12:00:00Z"
    assert answer["stage"] == "offer"


def test_an_uncertain_measurement_is_borderline() -> None:
    finding = ask({"ref": "a", "kind": "panel", "tiny": {"gap_mm": "5 ± 1", "keyed": True}})["works"][0]["findings"][0]
    assert finding["state"] == "borderline"
    assert finding["probability"] == pytest.approx(0.5)


def test_the_named_venue_is_asked() -> None:
    work = {"ref": "a", "kind": "panel", "tiny": {"gap_mm": 7, "keyed": True}}
    assert ask(work)["outcome"] == "prepare"
    answer = ask(work, venue="annexe")
    assert answer["outcome"] == "ready"
    assert answer["venue"]["name"] == "annexe"
    assert answer["works"][0]["findings"][0]["limits"][0]["reason"] == "Deep shadow gaps here."


def test_null_means_not_known() -> None:
    assert ask({"ref": "a", "kind": None, "tiny": None}, venue=None) == ask({"ref": "a"})


def test_500_works_are_answered() -> None:
    answer = ask(*({"ref": f"r{number}", "kind": "panel", "tiny": {"gap_mm": 2, "keyed": True}} for number in range(500)))
    assert len(answer["works"]) == 500
    assert answer["settled"]


def test_record_false_is_taken_and_true_refused() -> None:
    body = {"works": [{"ref": "a"}]}
    assert CLIENT.post("/evaluations?record=false", json=body).status_code == 200
    assert CLIENT.post("/evaluations?record=true", json=body).status_code == 422


def test_a_charset_of_utf_8_is_taken() -> None:
    for kind in ("application/json; charset=utf-8", 'Application/JSON;charset="UTF-8"'):
        assert CLIENT.post("/evaluations", content=b'{"works":[{"ref":"a"}]}', headers={"content-type": kind}).status_code == 200


def test_clocks_are_taken_to_utc() -> None:
    catalogue = tiny_catalogue()
    east = datetime(2026, 3, 31, 23, 0, tzinfo=timezone(timedelta(hours=2)))
    app = create_app(Settings(), catalogue, tiny_venues(catalogue), clock=lambda: east, new_id=lambda: NEW_ID)
    answer = TestClient(app).post("/evaluations", json={"works": [{"ref": "a"}]}).json()
    assert answer["evaluated_at"] == "2026-03-31T21:00:00Z"


def test_packs_rules_limits_and_venues_are_listed() -> None:
    assert [pack["name"] for pack in CLIENT.get("/packs").json()["items"]] == ["tiny"]
    assert [rule["code"] for rule in CLIENT.get("/rules?pack=tiny").json()["items"]] == ["tiny.gap", "tiny.weave"]
    assert [venue["name"] for venue in CLIENT.get("/venues").json()["items"]] == ["house", "annexe"]
    here, there = (CLIENT.get(f"/limits?venue={name}").json()["items"][0] for name in ("house", "annexe"))
    assert (here["value"], there["value"], there["default"], there["reason"]) == (5, 8, 5, "Deep shadow gaps here.")
    assert CLIENT.get("/limits").json()["venue"] == "house"


def test_a_rule_is_shown_in_full() -> None:
    rule = CLIENT.get("/rules/tiny.gap").json()
    assert rule["question"] == "Is the gap small enough?"
    assert rule["explanation"].startswith("A feeler gauge tells.")
    assert rule["effects"] == ["prepare", "repair"]
    assert rule["limits"][0]["name"] == "tiny.gap_mm"
    assert [case["name"] for case in rule["cases"]] == ["a good one"]
    way = rule["ways"][0]
    assert way["applies"] == [{"pointers": ["/kind"], "values": ["panel", "stretched-canvas"]}]
    assert [(fact["pointer"], fact["tried"]) for fact in way["facts"]] == [("/tiny/gap_mm", False), ("/tiny/keyed", True)]


def test_a_venue_is_shown_in_full() -> None:
    venue = CLIENT.get("/venues/annexe").json()
    assert venue["walls"] == {"north": {"width_mm": 3000.0, "walkway": True}, "stairs": {}}
    assert venue["conditions"] == {"rh_percent": 45.0}
    assert venue["limits"] == [{"name": "tiny.gap_mm", "value": "8 mm", "reason": "Deep shadow gaps here."}]
    assert venue["frames"][0]["name"] == "A2"


def test_health() -> None:
    assert CLIENT.get("/health/live").json() == {"status": "live"}
    ready = CLIENT.get("/health/ready").json()
    assert (ready["status"], ready["default_venue"], ready["faults"]) == ("ready", "house", [])


def test_a_fault_is_shown_and_nothing_is_settled() -> None:
    catalogue = build_catalogue([installed_pack(tiny_pack())], [Fault("import-error", "pack other is broken")], tolerate=True)
    app = create_app(Settings(), catalogue, [Venue(name="house")], clock=lambda: NOW, new_id=lambda: NEW_ID)
    client = TestClient(app)
    ready = client.get("/health/ready")
    assert ready.status_code == 200
    assert ready.json()["status"] == "degraded"
    assert ready.json()["faults"][0]["message"] == "pack other is broken"
    answer = client.post("/evaluations", json={"works": [{"ref": "a", "kind": "other"}]}).json()
    assert not answer["settled"]
    assert answer["faults"]


@pytest.mark.parametrize("path", GETS)
def test_head_and_options_go_with_get(path: str) -> None:
    full, head, options = (CLIENT.request(method, path) for method in ("GET", "HEAD", "OPTIONS"))
    assert (head.status_code, head.content) == (200, b"")
    assert head.headers["content-length"] == full.headers["content-length"] == str(len(full.content))
    assert options.headers["allow"] == "GET, HEAD, OPTIONS"


def test_a_wrong_method_is_told_the_right_ones() -> None:
    assert CLIENT.delete("/evaluations").headers["allow"] == "GET, HEAD, OPTIONS, POST"
    assert CLIENT.post("/packs", json={}).headers["allow"] == "GET, HEAD, OPTIONS"


def test_every_path_lists_exactly_the_methods_that_it_takes() -> None:
    for path, verbs in CLIENT.get("/openapi.json").json()["paths"].items():
        refused = CLIENT.patch(path.replace("{", "").replace("}", ""))
        more = {"HEAD", "OPTIONS"} if "get" in verbs else {"OPTIONS"}
        assert (refused.status_code, set(refused.headers["allow"].split(", "))) == (405, {verb.upper() for verb in verbs} | more), path


@pytest.mark.parametrize("path", [*GETS, "/nope", "/evaluations"])
def test_every_answer_has_an_id_and_safe_headers(path: str) -> None:
    headers = CLIENT.get(path).headers
    assert headers["x-request-id"] == NEW_ID
    assert headers["x-content-type-options"] == "nosniff"


@pytest.mark.parametrize("given", ["a", "A-b.c_9", "x" * 64, "0f8fad5b-d9cb-469f-a165-70867728950e"])
def test_a_good_request_id_is_kept(given: str) -> None:
    response = CLIENT.get("/nope", headers={"x-request-id": given})
    assert response.headers["x-request-id"] == given
    assert response.json()["instance"] == (f"urn:uuid:{given}" if given.count("-") == 4 else f"urn:request:{given}")


@pytest.mark.parametrize("given", ["", "x" * 65, "a b", "a/b", 'a"b', "<script>", "a%0d%0ab"])
def test_a_bad_request_id_is_replaced(given: str) -> None:
    response = CLIENT.get("/nope", headers={"x-request-id": given})
    assert response.headers["x-request-id"] == NEW_ID
    assert response.json()["instance"] == f"urn:uuid:{NEW_ID}"


def test_the_log_holds_a_line_and_no_fact(caplog: pytest.LogCaptureFixture) -> None:
    secret = "Secret-Title-7"
    with caplog.at_level(logging.INFO):
        ask({"ref": secret, "title": secret, "artist_name": secret, "width_mm": 777})
        CLIENT.post("/evaluations", json={"works": [{"ref": secret, "width_mm": secret}], "venue": secret})
        CLIENT.get(f"/venues/{secret}")
        CLIENT.get(f"/{secret}?q={secret}")
    access = [json.loads(record.message) for record in caplog.records if record.name == "hangworthy.access"]
    assert [(line["method"], line["path"], line["status"], line.get("works")) for line in access] == [
        ("POST", "/evaluations", 200, 1),
        ("POST", "/evaluations", 422, None),
        ("GET", "/venues/{name}", 404, None),
        ("GET", "(unknown)", 404, None),
    ]
    assert access[0].keys() == {"time", "level", "method", "path", "status", "milliseconds", "request_id", "works"}
    ours = "\n".join(record.getMessage() for record in caplog.records if record.name.startswith("hangworthy"))
    assert secret not in ours
    assert "777" not in ours


def test_what_nobody_foresaw_is_a_problem_without_a_trace(monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture) -> None:
    def broken(*_: Any) -> Any:
        raise RuntimeError("the secret title")

    monkeypatch.setattr(Evaluator, "answer", broken)
    response = CLIENT.post("/evaluations", json={"works": [{"ref": "a"}]})
    assert response.status_code == 500
    problem = response.json()
    assert (problem["type"], problem["instance"]) == ("/problems/internal-error", f"urn:uuid:{NEW_ID}")
    assert "secret" not in response.text + caplog.text
    assert "RuntimeError at" in caplog.text


def test_what_is_described_is_worked_out_when_first_asked_for_beside_the_event_loop(monkeypatch: pytest.MonkeyPatch) -> None:
    made: list[int] = []

    def noted(work: Any) -> Any:
        def run(catalogue: Any) -> Any:
            made.append(threading.get_ident())
            return work(catalogue)

        return run

    monkeypatch.setattr(core, "document", noted(core.document))
    monkeypatch.setattr(core.describe, "rules", noted(core.describe.rules))
    with TestClient(tiny_app(), raise_server_exceptions=False) as client:
        assert client.get("/packs").status_code == client.get("/limits").status_code == 200
        assert made == []
        document, page = client.get("/openapi.json").content, client.get("/").content
        assert len(made) == 1
        assert client.get("/rules").json()["items"][0]["code"] == client.get("/rules/tiny.gap").json()["code"] == "tiny.gap"
        assert len(made) == 2
        with client.portal() as loop:
            assert loop.call(threading.get_ident) not in made
        assert (client.get("/openapi.json").content, client.get("/").content) == (document, page)
        assert len(made) == 2
    assert document == dump(core.document(tiny_catalogue()))
    assert b"checkLive" in page


def test_a_value_that_many_ask_for_at_once_is_worked_out_once() -> None:
    calls = []

    def work() -> object:
        calls.append(1)
        if len(calls) == 1:
            raise ValueError("the first try fails")
        return object()

    once = Once(work)

    async def many() -> list[object]:
        return await asyncio.gather(*(once.get() for _ in range(8)))

    with pytest.raises(ValueError, match="the first try fails"):
        asyncio.run(once.get())
    values = asyncio.run(many()) + asyncio.run(many())
    assert len(set(values)) == 1
    assert len(calls) == 2
