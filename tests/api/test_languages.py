"""Languages over HTTP: a request chooses, the record keeps the choice, both ways answer alike; and the form of a venue."""

from collections.abc import Iterator
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from litestar.testing import TestClient

from api.serving import Clock, tiny_app, tiny_venues
from api.test_express import JSON, answer, other_way, scope
from api.tiny_pack import tiny_pack
from hangworthy.app import create_app
from hangworthy.discovery import installed_pack
from hangworthy.engine.catalogue import Catalogue, build_catalogue
from hangworthy.engine.languages import with_languages
from hangworthy.history.ids import uuid7_maker
from hangworthy.history.port import History
from hangworthy.settings import Settings

WORK = {"ref": "a", "kind": "panel", "tiny": {"gap_mm": "9.5 mm", "keyed": True}}
GERMAN = """
[facts."tiny.weave"]
title = "Bindung"
[rules.gap]
unmet = "Der Spalt von {value} ist zu breit."
"""


def catalogue(german: str = GERMAN) -> Catalogue:
    import msgspec

    return with_languages(build_catalogue([installed_pack(msgspec.structs.replace(tiny_pack(), texts={"de": german}))]))


@pytest.fixture
def german(store: History, clock: Clock) -> Iterator[TestClient]:
    """The service with a history, over a pack with German texts."""
    with TestClient(_app(catalogue(), store, clock), raise_server_exceptions=False) as made:
        yield made


def _app(built: Catalogue, store: History, clock: Clock) -> Any:
    return create_app(Settings(), built, tiny_venues(built), clock=clock, new_id=uuid7_maker(clock), history=store)


def artist(told: Any) -> str:
    return next(one["artist"] for one in told["works"][0]["findings"] if one["rule"] == "tiny.gap")


def test_a_request_chooses_its_language_and_the_record_keeps_it(german: TestClient) -> None:
    made = german.post("/evaluations", json={"works": [WORK], "language": "de"})
    assert made.status_code == 201
    told = made.json()
    assert (told["language"], artist(told)) == ("de", "Der Spalt von 9,5 mm ist zu breit.")
    assert german.get(made.headers["location"]).content == made.content
    english = german.post("/evaluations", json={"works": [WORK]}).json()
    assert artist(english) == "The gap of 9.5 mm is too wide."
    assert "language" not in english
    assert "texts" not in english


def test_a_replay_is_exact_in_either_language(german: TestClient) -> None:
    for choice in ({"language": "de"}, {"language": "en"}, {}):
        id_ = german.post("/evaluations", json={"works": [WORK], **choice}).json()["id"]
        again = german.post(f"/evaluations/{id_}/replay").json()
        assert again["identical"] is True
        assert again["causes"] == []


def test_other_texts_are_another_answer_that_decides_alike(store: History, clock: Clock) -> None:
    with TestClient(_app(catalogue(), store, clock), raise_server_exceptions=False) as before:
        made = before.post("/evaluations", json={"works": [WORK], "language": "de", "venue": "house"}).json()
        plain = before.post("/evaluations", json={"works": [WORK], "venue": "house"}).json()
        service = before.app.state.service  # it is told the other texts as a start with them would tell it
        service.catalogue.spoken["de"] = catalogue(GERMAN.replace("zu breit", "zu groß")).spoken["de"]
        for evaluator in service.book.evaluators.values():
            evaluator._others.clear()
        again = before.post(f"/evaluations/{made['id']}/replay").json()
        assert (again["identical"], again["causes"]) == (False, [])
        assert again["evaluation"]["texts"] != made["texts"]
        assert again["evaluation"]["packs"] == made["packs"]
        assert before.post(f"/evaluations/{plain['id']}/replay").json()["identical"] is True


def test_two_languages_of_one_work_do_not_differ_in_what_is_compared(german: TestClient) -> None:
    one, other = (german.post("/evaluations", json={"works": [WORK], "language": code}).json()["id"] for code in ("en", "de"))
    assert german.get(f"/evaluations/{one}/changes?since={other}").json()["changes"].get("works", []) == []


@pytest.mark.parametrize("language", ["en", "de", "null"])
def test_both_ways_answer_alike(language: str) -> None:
    body = b'{"works": [{"ref": "a", "kind": "panel", "tiny": {"gap_mm": 9.5}}], "language": %s}'
    app, whole = tiny_app(), body % (b"null" if language == "null" else f'"{language}"'.encode())
    lane = answer(app, scope(JSON), whole)
    assert lane[0] == 200
    assert lane[2] == other_way(app, whole)[2]
    assert (b'"language":"de"' in lane[2]) is (language == "de")


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ("fr", "The language cannot be “fr”. The choices are: en, de."),
        ("DE", "The language cannot be “DE”. Did you mean “de”? The choices are: en, de."),
        (3, "The language must be a text. The choices are: en, de."),
        (["de"], "The language must be a text. The choices are: en, de."),
    ],
)
def test_another_language_is_a_gentle_problem(wrong: Any, sentence: str) -> None:
    with TestClient(tiny_app()) as client:
        refused = client.post("/evaluations", json={"works": [{**WORK, "width_mm": "9 kg"}], "language": wrong})
    assert refused.status_code == 422
    assert {one["pointer"]: one["message"] for one in refused.json()["errors"]}["/language"] == sentence
    assert [one["pointer"] for one in refused.json()["errors"]] == ["/language", "/works/0/width_mm"]


def test_problems_stay_english() -> None:
    with TestClient(tiny_app()) as client:
        bodies = [
            client.post("/evaluations", json={"works": [{**WORK, "width_mm": "9 kg"}], "language": code}).json() for code in ("en", "de")
        ]
    assert bodies[0] == bodies[1]


def test_the_form_is_told_in_the_language_and_again_only_when_it_changed() -> None:
    with TestClient(create_app(Settings(), catalogue(), tiny_venues(catalogue()), clock=Clock(), new_id=lambda: "x")) as client:
        made = client.get("/form?venue=annexe&lang=de&stage=arrival")
        assert (made.status_code, made.headers["content-language"], made.headers["content-type"]) == (200, "de", "application/json")
        form = made.json()
        Draft202012Validator.check_schema(form)
        assert (form["x-venue"], form["x-venue-version"], form["x-stage"], form["x-language"]) == ("annexe", 3, "arrival", "de")
        assert form["properties"]["tiny"]["anyOf"][0]["properties"]["weave"]["title"] == "Bindung"
        assert form["properties"]["tiny"]["anyOf"][0]["properties"]["gap_mm"]["title"] == "Gap"
        unchanged = client.get("/form?venue=annexe&lang=de&stage=arrival", headers={"if-none-match": made.headers["etag"]})
        assert (unchanged.status_code, unchanged.content, unchanged.headers["etag"]) == (304, b"", made.headers["etag"])
        others = {
            client.get(f"/form?{query}").headers["etag"] for query in ("venue=annexe", "venue=house", "venue=annexe&stage=offer", "lang=de")
        }
        assert len(others | {made.headers["etag"]}) == 5
        assert client.get("/form").json()["x-venue"] == "house"


@pytest.mark.parametrize(
    ("query", "status", "said"),
    [
        ("venue=nowhere", 404, "There is no venue “nowhere”. See /venues."),
        ("lang=fr", 422, "The query parameter lang must be one of: en, de."),
        ("stage=ofer", 422, "Did you mean “offer”?"),
        ("language=de", 422, "language"),
    ],
)
def test_a_form_that_is_not_there(query: str, status: int, said: str) -> None:
    with TestClient(tiny_app()) as client:
        refused = client.get(f"/form?{query}")
    assert refused.status_code == status
    assert said in refused.json()["detail"]


def test_a_venue_that_changed_has_another_form(german: TestClient) -> None:
    before = german.get("/form?venue=house")
    kept = german.put("/venues/house", json={"walls": [{"name": "stair"}]}, headers={"if-match": "*"})
    assert kept.status_code == 200, kept.text
    after = german.get("/form?venue=house")
    assert after.headers["etag"] != before.headers["etag"]
    assert after.json()["properties"]["wall_name"]["anyOf"][0] == {"enum": ["stair"]}
