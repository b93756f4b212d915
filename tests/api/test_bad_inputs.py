"""Bad inputs, one kind to a row: its status, where the fault is, and a piece of the sentence. Never a 500, never a trace."""

import json
import time
from typing import Any

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from litestar.testing import TestClient

from api.serving import tiny_app

JSON = {"content-type": "application/json"}
CLIENT = TestClient(tiny_app(), raise_server_exceptions=False)
MOST_WORDS = 25


def work(**facts: Any) -> Any:
    return {"works": [{"ref": "a", **facts}]}


def tiny(**facts: Any) -> Any:
    return work(tiny=facts)


def raw(fact: str) -> bytes:
    """Return a body whose work holds a piece of text as it stands."""
    return ('{"works": [{"ref": "a", ' + fact + "}]}").encode()


def nested(depth: int) -> bytes:
    return b'{"works": ' + b"[" * depth + b"]" * depth + b"}"


W = "/works/0"
T = "/works/0/tiny"

# (what is wrong, body, status, pointer, piece of the sentence)
BODIES: list[tuple[str, Any, int, str, str]] = [
    # not JSON
    ("empty", b"", 400, "", "empty"),
    ("only spaces", b" \n\t ", 400, "", "empty"),
    ("a word", b"hello", 400, "", "line 1, column 1"),
    ("a form", b"ref=a&kind=panel", 400, "", "line 1, column 1"),
    ("XML", b"<works/>", 400, "", "line 1, column 1"),
    ("cut short", b'{"works": [{"ref": "a"', 400, "", "ends too early"),
    ("quotation mark left open", b'{"works": [{"ref": "a}]}', 400, "", "not closed"),
    ("comma too many in an object", b'{"works": [{"ref": "a",}]}', 400, "", "comma too many"),
    ("comma too many in a list", b'{"works": [{"ref": "a"},]}', 400, "", "comma too many"),
    ("comma missing", b'{"works": [{"ref": "a" "title": "b"}]}', 400, "", "comma missing"),
    ("single quotation marks", b"{'works': []}", 400, "", "double quotation marks"),
    ("curly quotation marks", '{“works”: []}'.encode(), 400, "", "straight double"),
    ("a comment", b'{"works": [] // none\n}', 400, "", "no comments"),
    ("a comment first", b'/* works */ {"works": []}', 400, "", "no comments"),
    ("a hash comment", b'# works\n{"works": []}', 400, "", "no comments"),
    ("capital True", raw('"framed": True'), 400, "", "true in small"),
    ("capital False", raw('"framed": False'), 400, "", "false in small"),
    ("None", raw('"framed": None'), 400, "", "null"),
    ("undefined", raw('"framed": undefined'), 400, "", "null"),
    ("NaN", raw('"width_mm": NaN'), 400, "", "NaN is not a number"),
    ("Infinity", raw('"width_mm": Infinity'), 400, "", "Infinity is not"),
    ("minus Infinity", raw('"width_mm": -Infinity'), 400, "", "-Infinity is not"),
    ("plus sign", raw('"width_mm": +5'), 400, "", "without a plus"),
    ("no digit before the point", raw('"width_mm": .5'), 400, "", "zero before the point"),
    ("leading zero", raw('"width_mm": 0123'), 400, "", "plain digits"),
    ("hexadecimal", raw('"width_mm": 0xFF'), 400, "", "plain digits"),
    ("two values", b'{"works": [{"ref": "a"}]} {}', 400, "", "Nothing may follow"),
    ("a line break in a text", b'{"works": [{"ref": "a\nb"}]}', 400, "", "line break"),
    ("a control character in a text", b'{"works": [{"ref": "a\x01b"}]}', 400, "", "control characters"),
    ("a backslash", raw('"title": "C:\\works"'), 400, "", "backslash"),
    ("a name without quotation marks", b"{works: []}", 400, "", "in double quotation marks"),
    # encodings
    ("UTF-8 with BOM", b'\xef\xbb\xbf{"works": [{"ref": "a"}]}', 400, "", "byte order mark"),
    ("UTF-16 with BOM", '{"works": [{"ref": "a"}]}'.encode("utf-16"), 400, "", "UTF-16"),
    ("UTF-16 without BOM", '{"works": [{"ref": "a"}]}'.encode("utf-16-le"), 400, "", "zero bytes"),
    ("UTF-32", '{"works": [{"ref": "a"}]}'.encode("utf-32"), 400, "", "UTF-32"),
    ("Latin-1", '{"works": [{"ref": "a",\n "title": "Frühling"}]}'.encode("latin-1"), 400, "", "Line 2"),
    ("an overlong sequence", raw('"title": "~"').replace(b"~", b"\xc0\xaf"), 400, "", "not UTF-8"),
    ("a surrogate in bytes", raw('"title": "~"').replace(b"~", b"\xed\xa0\x80"), 400, "", "not UTF-8"),
    ("a lone surrogate", raw('"title": "\\ud800"'), 400, f"{W}/title", "half a character"),
    ("a lone low surrogate", raw('"title": "\\udc00x"'), 400, f"{W}/title", "half a character"),
    ("zero bytes", b"\0\0\0\0", 400, "", "zero bytes"),
    ("a zip", b"PK\x03\x04\x14\xff\x08", 400, "", "not UTF-8"),
    # nothing may be lost
    ("a name twice", b'{"works": [{"ref": "a", "ref": "b"}]}', 400, f"{W}/ref", "twice"),
    ("a name twice, same value", b'{"works": [{"ref": "a", "ref": "a"}]}', 400, f"{W}/ref", "twice"),
    ("a section twice", raw('"tiny": {"keyed": true}, "tiny": {"gap_mm": 1}'), 400, T, "twice"),
    ("works twice", b'{"works": [{"ref": "a"}], "works": [{"ref": "b"}]}', 400, "/works", "twice"),
    ("a name twice, once escaped", b'{"works": [{"ref": "a", "\\u0072ef": "b"}]}', 400, f"{W}/ref", "twice"),
    ("a name twice beside an escaped colon", raw('"title": "\\u003a", "title": ":"'), 400, f"{W}/title", "twice"),
    ("stage twice, the first one last", b'{"stage": "arrival", "works": [{"ref": "a"}], "stage": "offer"}', 400, "/stage", "twice"),
    ("stage twice, the first one first", b'{"stage": "offer", "works": [{"ref": "a"}], "stage": "arrival"}', 400, "/stage", "twice"),
    ("stage twice, the same", b'{"stage": "offer", "works": [{"ref": "a"}], "stage" : "offer"}', 400, "/stage", "twice"),
    ("a null before the fact", raw('"title": null, "title": "a"'), 400, f"{W}/title", "twice"),
    ("a null after the fact", raw('"title": "a", "title": null'), 400, f"{W}/title", "twice"),
    # nesting
    ("nested 30 deep", nested(30), 400, "", "nested too deeply"),
    ("nested 100,000 deep", b"[" * 100_000, 400, "", "nested too deeply"),
    ("objects nested deep", b'{"a":' * 50_000 + b"1" + b"}" * 50_000, 400, "", "nested too deeply"),
    # the shape of the request
    ("a list", [], 422, "", "must be an object"),
    ("a number", b"42", 422, "", "must be an object"),
    ("a text", b'"works"', 422, "", "must be an object"),
    ("null", b"null", 422, "", "must be an object"),
    ("no works", {}, 422, "/works", "missing"),
    ("works is null", {"works": None}, 422, "/works", "at least one work"),
    ("works is an object", {"works": {"ref": "a"}}, 422, "/works", "at least one work"),
    ("an empty list of works", {"works": []}, 422, "/works", "at least one work"),
    ("501 works", {"works": [{"ref": str(n)} for n in range(501)]}, 422, "/works", "at most 500"),
    ("a work that is a text", {"works": ["a"]}, 422, W, "must be an object"),
    ("a work that is null", {"works": [None]}, 422, W, "must be an object"),
    ("a work that is a list", {"works": [[]]}, 422, W, "must be an object"),
    ("unknown field of a request", {"works": [{"ref": "a"}], "stge": "offer"}, 422, "/stge", "Did you mean “stage”"),
    ("a fact beside the works", {"works": [{"ref": "a"}], "width_mm": 5}, 422, "/width_mm", "inside “works”"),
    ("unknown stage", {"works": [{"ref": "a"}], "stage": "offr"}, 422, "/stage", "Did you mean “offer”"),
    ("stage null", {"works": [{"ref": "a"}], "stage": None}, 422, "/stage", "must be a text"),
    ("stage a number", {"works": [{"ref": "a"}], "stage": 1}, 422, "/stage", "must be a text"),
    ("stage a list", {"works": [{"ref": "a"}], "stage": ["offer"]}, 422, "/stage", "must be a text"),
    ("unknown venue", {"works": [{"ref": "a"}], "venue": "hose"}, 422, "/venue", "Did you mean “house”"),
    ("unknown venue, nothing near", {"works": [{"ref": "a"}], "venue": "zzz"}, 422, "/venue", "/venues"),
    ("venue empty", {"works": [{"ref": "a"}], "venue": ""}, 422, "/venue", "1 to 80"),
    ("venue a number", {"works": [{"ref": "a"}], "venue": 7}, 422, "/venue", "name of a venue"),
    ("venue an object", {"works": [{"ref": "a"}], "venue": {"name": "house"}}, 422, "/venue", "name of a venue"),
    # references, walls
    ("no reference", {"works": [{"title": "a"}]}, 422, f"{W}/ref", "Reference is missing"),
    ("reference null", {"works": [{"ref": None}]}, 422, f"{W}/ref", "must be a text"),
    ("reference a number", {"works": [{"ref": 7}]}, 422, f"{W}/ref", "must be a text"),
    ("reference empty", {"works": [{"ref": ""}]}, 422, f"{W}/ref", "must not be empty"),
    ("reference of spaces", {"works": [{"ref": "  "}]}, 422, f"{W}/ref", "begin or end with a space"),
    ("reference with a space at its end", {"works": [{"ref": "a "}]}, 422, f"{W}/ref", "begin or end with a space"),
    ("reference too long", {"works": [{"ref": "a" * 81}]}, 422, f"{W}/ref", "at most 80"),
    ("a reference twice", {"works": [{"ref": "a"}, {"ref": "a"}]}, 422, "/works/1/ref", "there twice"),
    ("unknown wall", {"works": [{"ref": "a", "wall_name": "nort"}], "venue": "annexe"}, 422, f"{W}/wall_name", "Did you mean “north”"),
    ("a wall where none is listed", work(wall_name="north"), 422, f"{W}/wall_name", "lists no walls"),
    # names
    ("misspelt fact", work(widht_mm=5), 422, f"{W}/widht_mm", "Did you mean “width_mm”"),
    ("fact in capitals", work(WIDTH_MM=5), 422, f"{W}/WIDTH_MM", "Did you mean “width_mm”"),
    ("fact without its unit", work(width=5), 422, f"{W}/width", "Did you mean “width_mm”"),
    ("fact of a section, outside it", work(corner_gaps_mm=[0, 0, 0, 0]), 422, f"{W}/corner_gaps_mm", "belongs to “tiny”"),
    ("fact of the work, in a section", tiny(finished_on="2026-03-31"), 422, f"{T}/finished_on", "belongs to the work"),
    ("misspelt fact in a section", tiny(gapmm=1), 422, f"{T}/gapmm", "Did you mean “gap_mm”"),
    ("misspelt section", work(tinny={}), 422, f"{W}/tinny", "Did you mean “tiny”"),
    ("a name with a slash", {"works": [{"ref": "a", "a/b~c": 1}]}, 422, f"{W}/a~1b~0c", "no fact “a/b~c”"),
    ("an empty name", {"works": [{"ref": "a", "": 1}]}, 422, f"{W}/", "no fact “”"),
    ("a name that turns the writing", {"works": [{"ref": "a", "\u202egap": 1}]}, 422, f"{W}/\\u202egap", "\\u202egap"),
    ("a prototype", {"works": [{"ref": "a", "__proto__": {}}]}, 422, f"{W}/__proto__", "no fact"),
    # numbers and quantities
    ("a number in a text of another kind", work(width_mm="9 kg"), 422, f"{W}/width_mm", "weight"),
    ("a length for a weight", work(mass_kg="9 cm"), 422, f"{W}/mass_kg", "length"),
    ("an unknown unit", work(width_mm="9 parsec"), 422, f"{W}/width_mm", "unit"),
    ("a number that can be read in two ways", work(width_mm="1,200"), 422, f"{W}/width_mm", "two ways"),
    ("a range", work(width_mm="500-700 mm"), 422, f"{W}/width_mm", "range"),
    ("roughly", work(width_mm="about 500"), 422, f"{W}/width_mm", "roughly"),
    ("two sizes", work(width_mm="50 x 70 cm"), 422, f"{W}/width_mm", "two measurements"),
    ("nonsense", work(width_mm="wide"), 422, f"{W}/width_mm", "please write"),
    ("an empty text", work(width_mm=""), 422, f"{W}/width_mm", "Nothing is written"),
    ("a text of spaces", work(width_mm="   "), 422, f"{W}/width_mm", "Nothing is written"),
    ("a text too long for a measurement", work(width_mm="5" * 61), 422, f"{W}/width_mm", "too long"),
    ("a negative uncertainty", work(width_mm="500 ± -1"), 422, f"{W}/width_mm", "negative uncertainty"),
    ("a negative length", work(width_mm=-5), 422, f"{W}/width_mm", "between 10 mm and"),
    ("a negative length in a text", work(width_mm="-5 cm"), 422, f"{W}/width_mm", "between 10 mm and"),
    ("a length below its range", work(width_mm=9.99), 422, f"{W}/width_mm", "9.99 mm was given"),
    ("a length above its range", work(width_mm=20_001), 422, f"{W}/width_mm", "20001 mm was given"),
    ("a text above its range", work(width_mm="21 m"), 422, f"{W}/width_mm", "Check the unit"),
    ("a text in the wrong prefix", work(width_mm="600 m"), 422, f"{W}/width_mm", "Check the unit"),
    ("1e999", raw('"width_mm": 1e999'), 422, f"{W}/width_mm", "far too large"),
    ("-1e999", raw('"width_mm": -1e999'), 422, f"{W}/width_mm", "far too large"),
    ("1e999 in a text", work(width_mm="1e999"), 422, f"{W}/width_mm", "sensible range"),
    ("NaN in a text", work(width_mm="NaN"), 422, f"{W}/width_mm", "please write"),
    ("inf in a text", work(width_mm="inf"), 422, f"{W}/width_mm", "please write"),
    ("a whole number of 400 digits", raw('"width_mm": ' + "9" * 400), 422, f"{W}/width_mm", "far too large"),
    ("a whole number of 5,000 digits", raw('"width_mm": ' + "9" * 5000), 422, f"{W}/width_mm", "far too large"),
    ("true for a number", work(width_mm=True), 422, f"{W}/width_mm", "number or a text"),
    ("a list for a number", work(width_mm=[500]), 422, f"{W}/width_mm", "number or a text"),
    ("an object for a number", work(width_mm={"value": 500, "unit": "mm"}), 422, f"{W}/width_mm", "number or a text"),
    ("other digits", work(width_mm="٥٠٠"), 422, f"{W}/width_mm", "please write"),
    ("a number for a section", work(tiny=5), 422, T, "object of facts"),
    ("a list for a section", work(tiny=[]), 422, T, "object of facts"),
    ("three corners of four", tiny(corner_gaps_mm=[0, 0, 0]), 422, f"{T}/corner_gaps_mm", "list of 4 measurements; 3"),
    ("five corners of four", tiny(corner_gaps_mm=[0, 0, 0, 0, 0]), 422, f"{T}/corner_gaps_mm", "; 5 were given"),
    ("one number for four corners", tiny(corner_gaps_mm=3), 422, f"{T}/corner_gaps_mm", "square brackets"),
    ("an unknown corner", tiny(corner_gaps_mm=[0, None, 0, 0]), 422, f"{T}/corner_gaps_mm/1", "number or a text"),
    ("a corner that is no quantity", tiny(corner_gaps_mm=[0, 0, "flush", 0]), 422, f"{T}/corner_gaps_mm/2", "please write"),
    ("a corner out of range", tiny(corner_gaps_mm=[0, 0, 0, 101]), 422, f"{T}/corner_gaps_mm/3", "between 0 mm and 100 mm"),
    ("half a layer", tiny(layers=1.5), 422, f"{T}/layers", "whole number between 0 and 20"),
    ("too many layers", tiny(layers=21), 422, f"{T}/layers", "whole number between 0 and 20"),
    ("layers in a text", tiny(layers="3"), 422, f"{T}/layers", "without quotation marks"),
    ("layers beyond 64 bits", tiny(layers=2**70), 422, f"{T}/layers", "whole number"),
    # yes and no, choices, texts
    ("yes for true", tiny(keyed="yes"), 422, f"{T}/keyed", "true or false"),
    ("true in quotation marks", tiny(keyed="true"), 422, f"{T}/keyed", "true or false"),
    ("1 for true", tiny(keyed=1), 422, f"{T}/keyed", "true or false"),
    ("a misspelt choice", tiny(weave="twil"), 422, f"{T}/weave", "Did you mean “twill”"),
    ("a choice in capitals", work(kind="PANEL"), 422, f"{W}/kind", "Did you mean “panel”"),
    ("a choice that is none", work(kind="hologram"), 422, f"{W}/kind", "The choices are"),
    ("a choice that is empty", work(kind=""), 422, f"{W}/kind", "The choices are"),
    ("a number for a choice", work(kind=3), 422, f"{W}/kind", "must be a text"),
    ("a list for a choice", work(kind=["panel"]), 422, f"{W}/kind", "must be a text"),
    ("a number for a text", work(title=7), 422, f"{W}/title", "text in quotation marks"),
    ("an empty title", work(title=""), 422, f"{W}/title", "leave it out"),
    ("a title too long", work(title="a" * 201), 422, f"{W}/title", "at most 200 characters; 201"),
    ("a note too long", tiny(note="n" * 1_000_000), 422, f"{T}/note", "at most 40 characters"),
    ("a mark that is no text", tiny(marks=["a", 7]), 422, f"{T}/marks/1", "text in quotation marks"),
    ("too many marks", tiny(marks=["a"] * 51), 422, f"{T}/marks", "at most 50"),
    ("currency in small letters", work(currency="eur"), 422, f"{W}/currency", "ISO 4217"),
    ("a currency sign", work(currency="€"), 422, f"{W}/currency", "ISO 4217"),
    # days and money
    ("a day as written by hand", work(finished_on="31.3.2026"), 422, f"{W}/finished_on", "2026-03-31"),
    ("a day that is not in the calendar", work(finished_on="2026-02-30"), 422, f"{W}/finished_on", "day of the calendar"),
    ("a day with its time", work(finished_on="2026-03-31T10:00:00Z"), 422, f"{W}/finished_on", "day of the calendar"),
    ("a day without its separators", work(finished_on="20260331"), 422, f"{W}/finished_on", "day of the calendar"),
    ("a day as a number", work(finished_on=20260331), 422, f"{W}/finished_on", "day of the calendar"),
    ("a year of zero", work(finished_on="0000-01-01"), 422, f"{W}/finished_on", "day of the calendar"),
    ("money with its sign", work(price="€ 1250"), 422, f"{W}/price", "currency sign"),
    ("money with a comma", work(price="1250,00"), 422, f"{W}/price", "1250.00"),
    ("negative money", work(price=-1), 422, f"{W}/price", "ordinary amount"),
    ("negative money in a text", work(price="-1.00"), 422, f"{W}/price", "ordinary amount"),
    ("money beyond all bounds", work(price=1e12), 422, f"{W}/price", "ordinary amount"),
    ("money of 1e999", raw('"price": 1e999'), 422, f"{W}/price", "ordinary amount"),
    ("money that is no number", work(price="NaN"), 422, f"{W}/price", "ordinary amount"),
    ("money as a programmer writes it", work(price="1_000"), 422, f"{W}/price", "ordinary amount"),
    ("money with an exponent", work(price="1e3"), 422, f"{W}/price", "ordinary amount"),
    ("true for money", work(price=True), 422, f"{W}/price", "ordinary amount"),
    # size
    ("10 MB", b'{"works": "' + b"a" * 10_000_000 + b'"}', 413, "", "fewer works"),
]  # fmt: skip

# (what is wrong, method, path, headers, body, status, piece of the detail)
REQUESTS: list[tuple[str, str, str, dict[str, str], bytes, int, str]] = [
    ("no media type", "POST", "/evaluations", {}, b"{}", 415, "no Content-Type"),
    ("a form", "POST", "/evaluations", {"content-type": "application/x-www-form-urlencoded"}, b"a=b", 415, "x-www-form"),
    ("plain text", "POST", "/evaluations", {"content-type": "text/plain"}, b"{}", 415, "“text/plain” was sent"),
    ("files", "POST", "/evaluations", {"content-type": "multipart/form-data; boundary=x"}, b"--x--", 415, "multipart"),
    ("another JSON", "POST", "/evaluations", {"content-type": "application/ld+json"}, b"{}", 415, "ld+json"),
    ("another charset", "POST", "/evaluations", {"content-type": "application/json; charset=latin-1"}, b"{}", 415, "always UTF-8"),
    ("compressed", "POST", "/evaluations", {**JSON, "content-encoding": "gzip"}, b"\x1f\x8b", 415, "Content-Encoding"),
    ("a wish to record", "POST", "/evaluations?record=true", JSON, b"{}", 422, "no history"),
    ("record neither true nor false", "POST", "/evaluations?record=yes", JSON, b"{}", 422, "true or false"),
    ("record empty", "POST", "/evaluations?record=", JSON, b"{}", 422, "true or false"),
    ("record in capitals", "POST", "/evaluations?record=FALSE", JSON, b"{}", 422, "small letters"),
    ("record twice", "POST", "/evaluations?record=false&record=false", JSON, b"{}", 422, "given twice"),
    ("a misspelt parameter", "POST", "/evaluations?recrod=false", JSON, b"{}", 422, "Did you mean “record”"),
    ("an unknown parameter", "GET", "/packs?page=2", {}, b"", 422, "takes none"),
    ("an unknown pack", "GET", "/rules?pack=tny", {}, b"", 422, "Did you mean “tiny”"),
    ("an empty pack", "GET", "/rules?pack=", {}, b"", 422, "no pack"),
    ("an unknown rule", "GET", "/rules/tiny.gaps", {}, b"", 404, "Did you mean “tiny.gap”"),
    ("a rule of control characters", "GET", "/rules/%00%1b", {}, b"", 404, "\\u0000\\u001b"),
    ("limits of an unknown venue", "GET", "/limits?venue=anexe", {}, b"", 404, "Did you mean “annexe”"),
    ("an unknown venue", "GET", "/venues/nowhere", {}, b"", 404, "/venues"),
    ("an unknown problem", "GET", "/problems/none", {}, b"", 404, "no problem"),
    ("an unknown path", "GET", "/evaluation", {}, b"", 404, "/openapi.json"),
    ("a path upwards", "GET", "/../../etc/passwd", {}, b"", 404, "/openapi.json"),
    ("a path of bytes", "GET", "/%ff%fe", {}, b"", 404, "/openapi.json"),
    ("GET where POST is", "GET", "/evaluations", {}, b"", 405, "Allow"),
    ("PUT", "PUT", "/evaluations", JSON, b"{}", 405, "Allow"),
    ("PATCH", "PATCH", "/rules/tiny.gap", JSON, b"{}", 405, "Allow"),
    ("DELETE", "DELETE", "/venues/house", {}, b"", 405, "Allow"),
    ("POST where GET is", "POST", "/packs", JSON, b"{}", 405, "Allow"),
    ("TRACE", "TRACE", "/packs", {}, b"", 405, "Allow"),
    ("a method of its own", "BREW", "/packs", {}, b"", 405, "Allow"),
]  # fmt: skip


def encoded(body: Any) -> bytes:
    return body if isinstance(body, bytes) else json.dumps(body, ensure_ascii=False).encode()


def check_problem(response: Any, status: int) -> dict[str, Any]:
    """Check what every problem has, and that each sentence can be read in one breath."""
    assert response.status_code == status, response.text[:500]
    assert response.headers["content-type"] == "application/problem+json"
    problem: dict[str, Any] = response.json()
    assert {"type", "title", "status", "detail", "instance"} <= problem.keys()
    assert problem["status"] == status
    assert problem["type"].startswith("/problems/")
    assert "Traceback" not in response.text
    for sentence in [problem["detail"], *(one["message"] for one in problem.get("errors", []))]:
        for part in sentence.replace("? ", ". ").split(". "):
            assert len(part.split()) < MOST_WORDS, part
    return problem


def test_there_are_at_least_a_hundred_kinds() -> None:
    names = [row[0] for row in BODIES] + [row[0] for row in REQUESTS]
    assert len(names) >= 100


@pytest.mark.parametrize(("body", "status", "pointer", "piece"), [row[1:] for row in BODIES], ids=[row[0] for row in BODIES])
def test_a_bad_body_is_told_where_and_how(body: Any, status: int, pointer: str, piece: str) -> None:
    problem = check_problem(CLIENT.post("/evaluations", content=encoded(body), headers=JSON), status)
    if status == 413:
        assert piece in problem["detail"]
        return
    told = {one["pointer"]: one["message"] for one in problem["errors"]}
    assert pointer in told, told
    assert piece in told[pointer], told


@pytest.mark.parametrize(
    ("method", "path", "headers", "body", "status", "piece"), [row[1:] for row in REQUESTS], ids=[row[0] for row in REQUESTS]
)
def test_a_bad_request_is_told_what_would_be_right(
    method: str, path: str, headers: dict[str, str], body: bytes, status: int, piece: str
) -> None:
    response = CLIENT.request(method, path, headers=headers, content=body)
    assert piece in check_problem(response, status)["detail"]
    assert (status == 405) == ("allow" in response.headers)


def test_every_fault_is_told_at_once() -> None:
    body = {
        "stage": "offr",
        "venue": "annexe",
        "works": [
            {"ref": "a", "width_mm": "9 kg", "height_mm": -1, "wall_name": "nort", "tiny": {"gap_mm": "wide", "keyed": "yes", "gaps": 1}},
            {"ref": "b", "mass_kg": "2 kg"},
            {"ref": "b", "finished_on": "31.3.2026", "price": "1_0"},
            {"title": "no reference"},
            7,
        ],
    }
    problem = check_problem(CLIENT.post("/evaluations", json=body), 422)
    assert {one["pointer"] for one in problem["errors"]} == {
        "/stage", "/works/0/width_mm", "/works/0/height_mm", "/works/0/wall_name", "/works/0/tiny/gap_mm", "/works/0/tiny/keyed",
        "/works/0/tiny/gaps", "/works/2/ref", "/works/2/finished_on", "/works/2/price", "/works/3/ref", "/works/4",
    }  # fmt: skip


def test_at_most_a_hundred_faults_are_listed_and_the_rest_counted() -> None:
    body = {"works": [{"ref": f"r{number}", "width_mm": "wide"} for number in range(250)]}
    errors = check_problem(CLIENT.post("/evaluations", json=body), 422)["errors"]
    assert len(errors) == 101
    assert errors[-1] == {"pointer": "", "message": "150 more faults not listed; put these right first."}


def test_no_more_than_forty_characters_come_back() -> None:
    secret = "s" * 30 + "\u202e\u0007" + "t" * 5000
    bodies = [work(kind=secret), work(**{secret: 1}), work(width_mm=secret), {"works": [{"ref": "a"}], "venue": secret[:79]}]
    bodies += [{"works": [{"ref": "a"}], secret: 1}, {"works": [{"ref": "a"}], "stage": secret}]
    for body in bodies:
        text = CLIENT.post("/evaluations", json=body).text
        assert "t" * 41 not in text
        assert "\u202e" not in text
        assert "\u0007" not in text


def test_a_body_in_pieces_is_measured_too() -> None:
    pieces = (b"x" * 10_000 for _ in range(300))
    check_problem(CLIENT.post("/evaluations", content=pieces, headers=JSON), 413)


HOSTILE = {
    "names of facts": b'{"works":[{"ref":"a"' + b"".join(b',"k%d":1' % n for n in range(150_000)) + b"}]}",
    "a list": b'{"works":[{"ref":"a","tiny":{"marks":[' + b"1," * 900_000 + b"1]}}]}",
    "works": b'{"works":[' + b"{}," * 600_000 + b"{}]}",
    "spaces": b'{"works":[{"ref":"a' + b" " * 1_900_000 + b'b\\n"}]}',
}


@pytest.mark.parametrize("body", HOSTILE.values(), ids=HOSTILE)
def test_two_megabytes_of_faults_are_answered_soon(body: bytes) -> None:
    start = time.monotonic()
    check_problem(CLIENT.post("/evaluations", content=body, headers=JSON), 422)
    assert time.monotonic() - start < 20  # about 2 s alone on a small machine; it was minutes while every sentence was made


SCALARS = st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20)
VALUES = st.recursive(SCALARS, lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner, max_size=4))
NAMES = st.sampled_from(["ref", "width_mm", "kind", "framed", "finished_on", "price", "tiny", "frame", "wall_name", "currency", "x"])
LIKELY = st.fixed_dictionaries({"works": VALUES | st.lists(VALUES | st.dictionaries(NAMES, VALUES, max_size=5), max_size=4)})
BOUNDED = settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.too_slow], database=None, derandomize=True)


@BOUNDED
@given(st.binary(max_size=200))
@example(b"\xff\xfe\x00\x00")
@example(b'{"works":[{"ref":"a","price":"sNaN"}]}')
def test_any_bytes_are_answered(body: bytes) -> None:
    response = CLIENT.post("/evaluations", content=body, headers=JSON)
    assert response.status_code in (200, 400, 422)
    if response.status_code != 200:
        check_problem(response, response.status_code)


@BOUNDED
@given(VALUES | LIKELY)
def test_any_json_is_answered(value: Any) -> None:
    response = CLIENT.post("/evaluations", content=json.dumps(value).encode(), headers=JSON)
    assert response.status_code in (200, 400, 422)
    if response.status_code != 200:
        assert response.json()["errors"]
        check_problem(response, response.status_code)
