"""GET /evaluations/{id}/sheet: what form, language and paper it takes, whose it is, and what is refused, kindly."""

import asyncio
from collections.abc import Iterator
from typing import Any

import msgspec
import pytest
from litestar.testing import TestClient

from api.memory import MemoryHistory
from api.serving import installed_app
from hangworthy.api import sheets
from hangworthy.api.wishes import best_of
from hangworthy.sheets.printer import PrinterBusyError, PrintingFailedError

WORKS = [
    {"ref": "a/1", "title": "Low tide <b>", "kind": "stretched-canvas", "width_mm": 1680, "height_mm": 900,
     "canvas": {"corner_gaps_mm": [0, 0, 9, 0]}},
    {"ref": "b", "title": "Ebb", "kind": "panel"},
]  # fmt: skip


class FakePrinter:
    """Prints at once, or raises what it is told to."""

    def __init__(self) -> None:
        self.asked: list[str] = []
        self.error: Exception | None = None

    async def pdf(self, html: str) -> bytes:
        await asyncio.sleep(0)
        self.asked.append(html)
        if self.error is not None:
            raise self.error
        return b"%PDF-1.7 of a test"


@pytest.fixture(scope="module")
def running_client() -> Iterator[TestClient]:
    """One service for all tests here, since every pack in every language takes a while to bind."""
    with TestClient(installed_app(MemoryHistory()), raise_server_exceptions=False) as made:
        yield made


@pytest.fixture
def client(running_client: TestClient) -> TestClient:
    running_client.app.state.service.printer = FakePrinter()
    return running_client


def recorded(client: TestClient, works: list[dict[str, Any]] = WORKS, **more: Any) -> str:
    made = client.post("/evaluations", json={"works": works, "venue": "house", **more})
    assert made.status_code == 201, made.text
    return str(made.json()["id"])


def test_without_a_wish_it_is_html_under_a_strict_policy(client: TestClient) -> None:
    answer = client.get(f"/evaluations/{recorded(client)}/sheet")
    assert answer.status_code == 200
    assert answer.headers["content-type"].startswith("text/html")
    policy = answer.headers["content-security-policy"]
    assert policy.startswith("default-src 'none'; style-src 'sha256-")
    assert "unsafe" not in policy
    assert answer.headers["vary"] == "Accept, Accept-Language, Authorization"
    assert "Low tide &lt;b&gt;" in answer.text
    assert "Ebb" in answer.text
    assert "The corner that stands off" in answer.text


@pytest.mark.parametrize(
    ("query", "accept", "kind"),
    [
        ("", "application/pdf", "application/pdf"),
        ("?format=pdf", "text/html", "application/pdf"),
        ("?format=html", "application/pdf", "text/html"),
        ("", "text/html,application/xhtml+xml,*/*;q=0.8", "text/html"),
        ("", "application/*", "application/pdf"),
        ("", "text/html;q=0.2, application/pdf", "application/pdf"),
    ],
)
def test_the_form_follows_the_query_and_then_accept(client: TestClient, query: str, accept: str, kind: str) -> None:
    answer = client.get(f"/evaluations/{recorded(client)}/sheet{query}", headers={"accept": accept})
    assert answer.status_code == 200
    assert answer.headers["content-type"].startswith(kind)
    assert (answer.content[:5] == b"%PDF-") == (kind == "application/pdf")


def test_language_and_paper(client: TestClient) -> None:
    id_ = recorded(client)
    german = client.get(f"/evaluations/{id_}/sheet?lang=de&paper=letter")
    assert german.headers["content-language"] == "de"
    assert "Vor der Abgabe, in dieser Reihenfolge" in german.text
    assert "Die Ecke, die absteht" in german.text
    assert "size: letter" in german.text
    liked = client.get(f"/evaluations/{id_}/sheet", headers={"accept-language": "fr, de-AT;q=0.9, en;q=0.3"})
    assert liked.headers["content-language"] == "de"
    assert "size: A4" in liked.text


def test_a_sheet_in_the_language_of_a_german_evaluation_and_back(client: TestClient) -> None:
    id_ = recorded(client, language="de")
    assert "Have a framer true" in client.get(f"/evaluations/{id_}/sheet?lang=en").text
    assert "Keilrahmen in einer Rahmenwerkstatt richten" in client.get(f"/evaluations/{id_}/sheet?lang=de").text


def test_one_work_of_several(client: TestClient) -> None:
    id_ = recorded(client)
    answer = client.get(f"/evaluations/{id_}/sheet", params={"work": "a/1"})
    assert "Low tide" in answer.text
    assert "Ebb" not in answer.text
    unknown = client.get(f"/evaluations/{id_}/sheet?work=c")
    assert (unknown.status_code, unknown.json()["type"]) == (404, "/problems/not-found")


def test_more_works_than_one_document_takes(client: TestClient) -> None:
    id_ = recorded(client, [{"ref": f"w{number}", "kind": "panel"} for number in range(11)])
    answer = client.get(f"/evaluations/{id_}/sheet")
    assert answer.status_code == 422
    assert "11 works; say which with work=" in answer.json()["detail"]
    assert client.get(f"/evaluations/{id_}/sheet?work=w3").status_code == 200


def test_an_erased_work_is_not_there_and_the_others_are(client: TestClient) -> None:
    id_ = recorded(client)
    assert client.delete("/works/b").json()["evaluations"] >= 1
    left = client.get(f"/evaluations/{id_}/sheet")
    assert left.status_code == 200
    assert "Ebb" not in left.text
    assert client.get(f"/evaluations/{id_}/sheet?work=b").status_code == 404
    client.delete("/works/a%2F1")
    gone = client.get(f"/evaluations/{id_}/sheet")
    assert gone.status_code == 404
    assert "erased" in gone.json()["detail"]


def test_what_cannot_be_asked_for(client: TestClient) -> None:
    id_ = recorded(client)
    for query in ("lang=fr", "paper=a5", "format=docx", "language=de", "lang=de&lang=en", "work=", f"work={'x' * 200}"):
        answer = client.get(f"/evaluations/{id_}/sheet?{query}")
        assert (answer.status_code, answer.json()["type"]) == (422, "/problems/invalid-query"), query
    told = client.get(f"/evaluations/{id_}/sheet?lang=fr&paper=a5&format=doc&work=").json()
    assert [one["parameter"] for one in told["errors"]] == ["format", "lang", "paper", "work"]
    for unknown in ("7f4c1a7e-5d0b-7c8e-9a53-2f6f0c3b8d11", "x"):
        assert client.get(f"/evaluations/{unknown}/sheet").status_code == 404
    other = client.get(f"/evaluations/{id_}/sheet", headers={"accept": "image/png"})
    assert (other.status_code, other.json()["type"]) == (406, "/problems/not-acceptable")


def test_a_service_that_cannot_print_says_so_and_still_shows_html(client: TestClient, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sheets, "can_print", lambda: False)
    id_ = recorded(client)
    for query, accept in (("?format=pdf", "*/*"), ("", "application/pdf")):
        answer = client.get(f"/evaluations/{id_}/sheet{query}", headers={"accept": accept})
        assert (answer.status_code, answer.json()["type"]) == (501, "/problems/no-pdf")
    both = client.get(f"/evaluations/{id_}/sheet", headers={"accept": "application/pdf, text/html;q=0.5"})
    assert both.headers["content-type"].startswith("text/html")


@pytest.mark.parametrize(("error", "wait"), [(PrinterBusyError(), "5"), (PrintingFailedError(), "60")], ids=["busy", "failed"])
def test_a_printer_that_has_no_time_is_told_with_when_to_come_back(client: TestClient, error: Exception, wait: str) -> None:
    client.app.state.service.printer.error = error
    answer = client.get(f"/evaluations/{recorded(client)}/sheet?format=pdf")
    assert (answer.status_code, answer.headers["retry-after"], answer.json()["type"]) == (503, wait, "/problems/unavailable")


def test_what_has_not_changed_is_not_printed_again(client: TestClient) -> None:
    id_ = recorded(client)
    for query in ("", "?format=pdf"):
        first = client.get(f"/evaluations/{id_}/sheet{query}")
        count = len(client.app.state.service.printer.asked)
        again = client.get(f"/evaluations/{id_}/sheet{query}", headers={"if-none-match": first.headers["etag"]})
        assert (again.status_code, again.content) == (304, b"")
        assert len(client.app.state.service.printer.asked) == count


def test_when_the_venue_is_another_one_by_now_the_sheet_shows_what_was_decided(client: TestClient) -> None:
    id_ = recorded(client, venue="annexe")
    etag = client.get("/venues/annexe").headers["etag"]
    limits = {"canvas.corner_gap_mm": {"value": "20 mm", "reason": "Works hang on a rail."}}
    changed = client.put("/venues/annexe", json={"limits": limits}, headers={"if-match": etag})
    assert changed.status_code == 200, changed.text
    text = client.get(f"/evaluations/{id_}/sheet?work=a%2F1").text
    assert "≤ 6 mm" in text
    assert "≤ 20 mm" not in text
    assert "The corner that stands off" in text


def test_a_stored_request_that_todays_packs_do_not_read_has_its_sentences_and_no_drawing(client: TestClient) -> None:
    id_ = recorded(client)
    service = client.app.state.service
    with client.portal() as portal:
        one = portal.call(service.history.get, id_)
    body = msgspec.json.decode(one.request)
    body["works"][0]["no_such_fact"] = 1
    other = msgspec.structs.replace(one, request=msgspec.json.encode(body))
    made = sheets._made(service, other, service.book.evaluators["house"], None, "de", "a4")
    assert "Have a framer true" in made.html  # as it was stored
    assert "<figure" not in made.html
    assert "darum fehlen die Zeichnungen" in made.html


@pytest.mark.parametrize(
    ("header", "offered", "best"),
    [
        ("", ("en", "de"), None),
        ("de", ("en", "de"), "de"),
        ("de-CH, en;q=0.8", ("en", "de"), "de"),
        ("fr", ("en", "de"), None),
        ("*", ("en", "de"), "en"),
        ("en;q=0, *", ("en", "de"), "de"),
        ("en;q=0.5, de;q=0.5", ("en", "de"), "en"),
        ("text/*;q=0.3, */*;q=0.5", ("text/html", "application/pdf"), "application/pdf"),
        ("text/html;q=nonsense", ("text/html",), None),
        ("text/html; level=1 ;q=0.4, application/pdf;q=0.3", ("text/html", "application/pdf"), "text/html"),
    ],
)
def test_what_is_liked_best(header: str, offered: tuple[str, ...], best: str | None) -> None:
    """RFC 9110, 12.4.2 (weights), 12.5.1 and 12.5.4 (the most exact wish counts; RFC 4647, 3.3.1 for languages)."""
    assert best_of(header, offered) == best
