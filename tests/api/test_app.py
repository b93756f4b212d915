"""The application put together: settings, venues, packs, a real connection, and the page for people."""

import http.client
import re
from datetime import datetime, timedelta
from html.parser import HTMLParser
from pathlib import Path

import msgspec
import pytest
from litestar.testing import TestClient

from api.serving import NEW_ID, NOW, running, tiny_app, tiny_catalogue
from hangworthy.app import bootstrap, create_app
from hangworthy.engine.fault import PackFaults, VenueError
from hangworthy.engine.ruleset import Venue
from hangworthy.history.canonical import Codec
from hangworthy.intake import BadInput, Intake
from hangworthy.sample import sample_of
from hangworthy.settings import Settings

CLIENT = TestClient(tiny_app())


def test_the_sample_for_packing_is_answers_and_holds_nobodys_facts() -> None:
    sample = sample_of(tiny_catalogue())
    *invented, blank = [msgspec.json.decode(line)["works"][0] for line in sample.split(b"\n")]
    assert [work["ref"] for work in (*invented, blank)] == ["work-on-paper", "stretched-canvas", "blank"]
    assert {finding["state"] for finding in blank["findings"]} <= {"unknown", "not_applicable"}
    assert b"artist_name" not in sample
    packed = [len(Codec(given, number).pack(b"", sample)) for given, number in (({}, None), ({1: sample}, 1))]
    assert packed[1] < packed[0] / 5


def test_other_origins_are_shut_out_unless_named() -> None:
    asked = {"origin": "https://form.example", "access-control-request-method": "POST"}
    assert "access-control-allow-origin" not in CLIENT.get("/packs", headers=asked).headers
    client = TestClient(tiny_app(Settings(cors_origins=("https://form.example",))))
    assert client.get("/packs", headers=asked).headers["access-control-allow-origin"] == "https://form.example"
    assert client.options("/evaluations", headers=asked).headers["access-control-allow-origin"] == "https://form.example"
    other = client.options("/evaluations", headers={**asked, "origin": "https://other.example"})
    assert "access-control-allow-origin" not in other.headers


def test_the_body_limit_is_a_setting() -> None:
    client = TestClient(tiny_app(Settings(max_body_bytes=50)))
    assert client.post("/evaluations", json={"works": [{"ref": "a"}]}).status_code == 200
    assert client.post("/evaluations", json={"works": [{"ref": "a" * 60}]}).status_code == 413


def test_the_default_venue_is_a_setting() -> None:
    client = TestClient(tiny_app(Settings(default_venue="annexe")))
    assert client.post("/evaluations", json={"works": [{"ref": "a"}]}).json()["venue"]["name"] == "annexe"
    with pytest.raises(VenueError, match="Did you mean “annexe”"):
        tiny_app(Settings(default_venue="anexe"))


def test_two_venues_of_one_name_and_none_at_all_are_refused() -> None:
    catalogue = tiny_catalogue()
    for venues, text in (([Venue(name="x"), Venue(name="x")], "there twice"), ([], "at least one")):
        with pytest.raises(VenueError, match=text):
            create_app(Settings(), catalogue, venues, clock=lambda: NOW, new_id=lambda: NEW_ID)


def test_over_the_wire_head_has_no_body_and_a_long_body_in_pieces_is_cut_off() -> None:
    with running(tiny_app(Settings(max_body_bytes=1000))) as address:
        connection = http.client.HTTPConnection(address.removeprefix("http://"), timeout=60)
        connection.request("HEAD", "/packs")
        head = connection.getresponse()
        assert (head.status, head.read()) == (200, b"")
        connection.request("GET", "/packs")  # the connection is still good: HEAD sent nothing that would be read as an answer
        answer = connection.getresponse()
        assert len(answer.read()) == int(head.headers["content-length"])
        pieces = (b"x" * 100 for _ in range(20))
        connection.request("POST", "/evaluations", body=pieces, headers={"content-type": "application/json"}, encode_chunked=True)
        assert connection.getresponse().status == 413
        connection.close()


def test_bootstrap_puts_installed_packs_and_venue_files_together(tmp_path: Path) -> None:
    assert TestClient(bootstrap(Settings(database="none"))).get("/health/ready").json()["default_venue"] == "default"
    file = tmp_path / "annexe.toml"
    file.write_text('name = "annexe"\n[[walls]]\nname = "north"\nwidth_mm = "3 m"\n', "utf-8")
    client = TestClient(bootstrap(Settings(venues=(file,), database="none")))
    assert client.get("/venues/annexe").json()["walls"] == {"north": {"width_mm": 3000.0}}
    answer = client.post("/evaluations", json={"works": [{"ref": "a", "wall_name": "north"}]}).json()
    assert answer["venue"]["name"] == "annexe"
    assert datetime.fromisoformat(answer["evaluated_at"]).utcoffset() == timedelta(0)


def test_bootstrap_refuses_a_missing_pack_and_can_report_it_instead() -> None:
    with pytest.raises(PackFaults, match="nosuch"):
        bootstrap(Settings(packs=("nosuch",), database="none"))
    client = TestClient(bootstrap(Settings(packs=("nosuch",), on_fault="report", database="none")))
    assert client.get("/health/ready").json()["status"] == "degraded"


def test_a_reader_without_venues_still_reads_quantities() -> None:
    intake = Intake(tiny_catalogue().schema)
    assert intake.read(b'{"works": [{"ref": "a", "wall_name": "anywhere"}], "venue": "any"}').venue == "any"
    with pytest.raises(BadInput) as caught:
        intake.read(b'{"works": [{"ref": "a", "framed": 1, "width_mm": "wide"}]}')
    assert {fault.pointer for fault in caught.value.faults} == {"/works/0/framed", "/works/0/width_mm"}
    assert str(caught.value).startswith("/works/0/framed: Framed must be answered yes or no: please write true or false")


class Outside(HTMLParser):
    """Collects what a page would fetch, and the tags that were left open."""

    def __init__(self) -> None:
        super().__init__()
        self.fetched: list[str] = []
        self.open: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        assert tag not in ("script", "iframe", "img", "link")
        self.fetched += [value or "" for name, value in attrs if name in ("src", "href")]
        if tag not in ("meta",):
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag


def test_the_page_for_people_is_whole_and_fetches_nothing() -> None:
    response = CLIENT.get("/")
    assert response.headers["content-type"].startswith("text/html")
    assert "default-src 'none'" in response.headers["content-security-policy"]
    parser = Outside()
    parser.feed(response.text)
    assert parser.fetched == ["openapi.json"]
    assert not parser.open
    for path in CLIENT.get("/openapi.json").json()["paths"]:
        assert path in response.text
    assert not re.search(r"url\(|@import|https?://", response.text)
