"""Free text over HTTP: read by itself, and as it comes with a work."""

from typing import Any

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from litestar.testing import TestClient

from api.serving import NOW, tiny_app
from hangworthy.app import create_app
from hangworthy.discovery import discover
from hangworthy.engine.catalogue import build_catalogue
from hangworthy.engine.ruleset import Venue
from hangworthy.settings import Settings

CATALOGUE = build_catalogue(*discover())
APP = create_app(Settings(), CATALOGUE, [Venue(name="anywhere")], clock=lambda: NOW, new_id=lambda: "7f4c1a7e-5d0b-4c8e-9a53-2f6f0c3b8d11")
HAS_EDITIONS = any(slot.ask.reads == "edition_number" for slot in CATALOGUE.schema.slots)
HAS_PAPER = any(slot.pointer == "/paper/image_mm" for slot in CATALOGUE.schema.slots)
LINE = {"dimensions": "H 60 × W 91,4 cm (unframed)", "medium": "Screenprint on paper", "edition": "12/50"}


def post(path: str, body: Any, app: Any = APP) -> Any:
    return TestClient(app).post(path, json=body)


def facts(reading: dict[str, Any]) -> dict[str, Any]:
    return {one["fact"]: one["value"] for one in reading["facts"]}


def test_a_line_becomes_facts_with_their_places() -> None:
    answer = post("/readings", {"lines": [LINE, {"dimensions": "24 x 36 in"}]})
    assert answer.status_code == 200
    first, second = answer.json()["readings"]
    said = facts(first)
    assert {name: said[name] for name in ("/height_mm", "/width_mm", "/kind", "/process")} == {
        "/height_mm": 600.0, "/width_mm": 914.0, "/kind": "original-print", "/process": "screenprint",
    }  # fmt: skip
    for one in first["facts"]:
        assert LINE[one["source"]][slice(*one["span"])] == one["text"]
        assert 0 < one["confidence"] < 1
        assert one["rule"]
        assert one["reason"]
    assert second["facts"] == []
    (asked,) = second["asks"]
    assert asked["facts"] == ["/height_mm", "/width_mm"]
    assert asked["question"] == "“24 x 36 in”: Which number is the height? Nothing here says so."
    assert asked["choices"] == ["24 in high and 36 in wide", "36 in high and 24 in wide"]
    assert first["edition"] == {"number": 12, "size": 50}


@pytest.mark.skipif(not HAS_EDITIONS, reason="no installed pack asks for the number of an edition")
def test_a_pack_takes_a_reading_up_with_one_word() -> None:
    """Whoever declares the fact with reads=… gets it; the service knows no path of a pack."""
    (slot,) = [slot for slot in CATALOGUE.schema.slots if slot.ask.reads == "edition_number"]
    (reading,) = post("/readings", {"lines": [LINE]}).json()["readings"]
    assert facts(reading)[slot.pointer] == 12
    (without,) = post("/readings", {"lines": [LINE]}, tiny_app()).json()["readings"]
    assert "/height_mm" in facts(without)
    assert slot.pointer not in facts(without)
    assert without["edition"] == {"number": 12, "size": 50}


def test_the_language_is_chosen_as_for_evaluations() -> None:
    """What is read is the same; only the sentences differ, and the answer says in which language they are."""
    lines = [LINE, {"dimensions": "24.5 x 36 in"}]
    english, german = post("/readings", {"lines": lines}).json(), post("/readings", {"lines": lines, "language": "de"}).json()
    assert english.keys() == {"readings"}
    assert german["language"] == "de"
    assert german["texts"]
    assert list(map(facts, english["readings"])) == list(map(facts, german["readings"]))
    (asked,) = german["readings"][1]["asks"]
    assert asked["question"] == "„24.5 x 36 in“: Welche Zahl ist die Höhe? Hier steht es nicht."
    assert asked["choices"] == ["24,5 in hoch und 36 in breit", "36 in hoch und 24,5 in breit"]
    for code in ("en", None):
        assert post("/readings", {"lines": lines, "language": code}).json() == english
    refused = post("/readings", {"lines": [{}], "language": "fr", "lang": "de", "convention": "height-first"})
    assert {one["pointer"]: one["message"] for one in refused.json()["errors"]} == {
        "/language": "The language cannot be “fr”. The choices are: en, de.",
        "/lang": "A request for readings has no field “lang”; it takes “lines” and “language”.",
        "/convention": "A request for readings has no field “convention”; write it in each line.",
    }
    assert [one["pointer"] for one in post("/readings", {"lines": [{}], "language": ["de"]}).json()["errors"]] == ["/language"]


def test_a_german_evaluation_reads_in_german() -> None:
    work = {"ref": "a", "width_mm": "60 cm", "as_written": {**LINE, "edition": "51/50"}}
    told, english = (post("/evaluations", {"works": [work], "language": code}).json()["works"][0]["reading"] for code in ("de", "en"))
    (against,) = told["contradictions"]
    assert against["sentence"] == ("Breite: Angegeben wurde 600 mm, aus „H 60 × W 91,4 cm“ lesen wir 914 mm. Es gilt, was angegeben wurde.")
    assert [one["rule"] for one in told["facts"]] == [one["rule"] for one in english["facts"]]
    assert {one["reason"] for one in told["facts"]}.isdisjoint(one["reason"] for one in english["facts"])
    assert told["kind"]["reason"] == "Ein Druckverfahren mit Platte, Druckstock, Stein oder Sieb ist angegeben."
    assert told["sizes"][0]["reason"] == "Wörter oder Buchstaben neben den Zahlen sagen, welche die Höhe ist."
    if HAS_EDITIONS:
        assert "„51/50“: Diese Zahlen widersprechen sich." in told["asks"][0]["question"]


@pytest.mark.skipif(not HAS_PAPER, reason="without the pack for paper no fact is a list that a text may fill too")
def test_a_list_that_cannot_be_read_is_a_fault_beside_a_text_too() -> None:
    written = {"dimensions": "Image 30 × 40 cm, sheet 50 × 60 cm (h × w)"}
    work = {"ref": "a", "kind": "work-on-paper", "paper": {"image_mm": ["x", 300]}, "as_written": written}
    told = post("/evaluations", {"works": [work]})
    assert told.status_code == 422
    assert [one["pointer"] for one in told.json()["errors"]] == ["/works/0/paper/image_mm/0"]


def test_every_fault_is_listed_with_its_place() -> None:
    body = {
        "lines": [{"dimension": "24 x 36 in", "medium": ""}, 3, {"convention": "tallest"}, {"edition": "x" * 501}, {"medium": 7}],
        "page": 1,
    }
    answer = post("/readings", body)
    assert answer.status_code == 422
    assert {one["pointer"] for one in answer.json()["errors"]} == {
        "/page", "/lines/0/dimension", "/lines/0/medium", "/lines/1", "/lines/2/convention", "/lines/3/edition", "/lines/4/medium",
    }  # fmt: skip
    said = {one["pointer"]: one["message"] for one in answer.json()["errors"]}
    assert said["/lines/0/dimension"] == "A line has no text “dimension”. Did you mean “dimensions”?"
    assert all(len(sentence.split()) < 25 for message in said.values() for sentence in message.split(". "))


@pytest.mark.parametrize(
    ("body", "pointer"),
    [({}, "/lines"), ({"lines": []}, "/lines"), ([], ""), ({"lines": [{}] * 501}, "/lines"), ({"lines": "24 x 36"}, "/lines")],
)
def test_a_body_without_lines_is_refused(body: Any, pointer: str) -> None:
    answer = post("/readings", body)
    assert answer.status_code == 422
    assert [one["pointer"] for one in answer.json()["errors"]] == [pointer]


def test_five_hundred_lines_are_read_in_their_order() -> None:
    answer = post("/readings", {"lines": [{"dimensions": f"H {place + 100} x W 200 mm"} for place in range(500)]})
    assert [facts(one)["/height_mm"] for one in answer.json()["readings"]] == [float(place + 100) for place in range(500)]


@pytest.mark.parametrize("headers", [{"content-type": "text/plain"}, {}])
def test_only_json_is_read(headers: dict[str, str]) -> None:
    assert TestClient(APP).post("/readings", content=b'{"lines": [{}]}', headers=headers).status_code == 415
    assert TestClient(APP).post("/readings?lang=de", json={"lines": [{}]}).status_code == 422
    assert TestClient(APP).post("/readings", content=b"{", headers={"content-type": "application/json"}).status_code == 400


def evaluated(*works: dict[str, Any]) -> list[dict[str, Any]]:
    answer = post("/evaluations", {"works": [{"ref": f"w-{place}", **work} for place, work in enumerate(works)]})
    assert answer.status_code == 200, answer.text
    return answer.json()["works"]


def test_what_was_written_counts_as_if_it_were_given() -> None:
    """The same findings, to the last word; the reading stands beside them."""
    said = {"height_mm": 600, "width_mm": 914, "kind": "original-print", "process": "screenprint", "medium": LINE["medium"]}
    editions = {"editions": {"number": 12, "edition_size": 50}} if HAS_EDITIONS else {}
    (written,), (given_,) = evaluated({"as_written": LINE}), evaluated({**said, **editions})
    reading = written.pop("reading")
    assert "reading" not in given_
    assert set(reading["used"]) >= {"/height_mm", "/width_mm", "/kind", "/process"}
    assert written == given_


def test_what_is_given_counts_more_and_the_contradiction_is_said() -> None:
    (work,) = evaluated({"width_mm": "60 cm", "height_mm": "60.2 cm", "as_written": LINE})
    reading = work["reading"]
    assert "/width_mm" not in reading["used"]
    assert reading["contradictions"] == [
        {"fact": "/width_mm", "given": 600.0, "read": 914.0,
         "sentence": "Width: 600 mm was given, but “H 60 × W 91,4 cm” says 914 mm. What was given counts."}
    ]  # fmt: skip


def test_what_is_open_is_asked_and_not_used() -> None:
    (work,) = evaluated({"kind": "work-on-paper", "as_written": {"dimensions": "24 x 36 in"}})
    assert work["reading"].get("used", []) == []
    assert work["reading"]["asks"][0]["facts"] == ["/height_mm", "/width_mm"]
    assert {"/height_mm", "/width_mm"} <= {one["fact"] for one in work["questions"]}
    (half,) = evaluated({"kind": "work-on-paper", "height_mm": "24 in", "as_written": {"dimensions": "24 x 36 in"}})
    assert half["reading"]["asks"][0]["facts"] == ["/width_mm"]


def test_faults_in_a_works_text_are_listed_with_the_rest() -> None:
    works = [{"ref": "a", "width_mm": "x", "as_written": {"dimensions": 3, "mediun": "oil"}}, {"ref": "b", "as_written": 4}]
    answer = post("/evaluations", {"works": works})
    assert answer.status_code == 422
    assert {one["pointer"] for one in answer.json()["errors"]} == {
        "/works/0/width_mm", "/works/0/as_written/dimensions", "/works/0/as_written/mediun", "/works/1/as_written",
    }  # fmt: skip


def test_a_size_that_no_fact_can_have_is_asked() -> None:
    (work,) = evaluated({"as_written": {"dimensions": "H 60 x W 40 cm, 2000 kg"}})
    assert [(one["rule"], one["facts"]) for one in work["reading"]["asks"] if one["source"] == "dimensions"] == [
        ("sense-open", ["/mass_kg"])
    ]


def test_without_texts_an_answer_has_no_trace_of_them() -> None:
    answer = post("/evaluations", {"works": [{"ref": "a", "kind": "panel", "as_written": None}, {"ref": "b", "kind": "panel"}]})
    assert b'"reading"' not in answer.content


def test_a_recorded_work_with_texts_replays_to_the_byte(client: TestClient) -> None:
    """On every kind of store, by the way that records."""
    made = client.post("/evaluations", json={"works": [{"ref": "a", "as_written": {"dimensions": "24 x 36 in", "medium": "Oil on board"}}]})
    assert made.status_code == 201
    again = client.post(f"/evaluations/{made.json()['id']}/replay").json()
    assert again["identical"] is True
    assert again["evaluation"]["works"][0]["reading"] == made.json()["works"][0]["reading"]


@settings(max_examples=60, deadline=None)
@given(st.fixed_dictionaries({}, optional={name: st.text(min_size=1, max_size=60) for name in LINE}))
def test_any_text_gets_an_answer(line: dict[str, str]) -> None:
    body = msgspec.json.encode({"lines": [line]})
    answer = TestClient(APP, raise_server_exceptions=True).post("/readings", content=body, headers={"content-type": "application/json"})
    assert answer.status_code == 200 or (answer.status_code == 422 and b"zero character" in answer.content)
