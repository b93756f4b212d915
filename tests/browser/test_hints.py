"""The script on somebody else's pages, from another origin, in a real browser: with a key, without, too often, too late, in German."""

import contextlib
import io
import json
import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import httpx
import pytest
from playwright.sync_api import Error, Page, Route, expect

from api.serving import running
from browser.conftest import chromium, elsewhere, pages
from hangworthy import hints
from hangworthy.app import bootstrap
from hangworthy.cli import main
from hangworthy.demo import demo_venue_path
from hangworthy.hints import hints_script
from hangworthy.settings import Settings

VENUE = "harbour-house"
EVALUATIONS = re.compile(r".*/evaluations\?")
FIELDS = """
<label>Width <input id="width" data-fact="/width_mm" data-unit="cm"></label>
<label>Height <input id="height" data-fact="/height_mm"></label>
<label>Belly <input id="belly" data-fact="/canvas/billow_mm" aria-describedby="own" aria-invalid="false" class="mine"></label>
<p id="own">In mm</p>
<p data-hangworthy-summary></p><ul data-hangworthy-more></ul>
"""


def document(service: str, fields: str = FIELDS, **data: str) -> str:
    attributes = "".join(f' data-{name.replace("_", "-")}="{value}"' for name, value in data.items())
    return (
        '<!doctype html><html lang="en"><head><title>A form</title>'
        f'<script src="{service}/form/hints.js"{attributes} defer></script></head>'
        f'<body><form method="post" action="/sent">{fields}<button>Send</button></form></body></html>'
    )


@pytest.fixture(scope="module")
def open_service() -> Iterator[str]:
    """No history, so no keys; every origin may ask, as the setting says."""
    settings = Settings(venues=(demo_venue_path(),), database="none", cors_origins=("*",))
    with running(bootstrap(settings)) as address:
        yield address


class Keyed:
    """A service with a history, whose keys are made on its command line."""

    def __init__(self, address: str) -> None:
        self.address = address

    def key(self, *arguments: str) -> str:
        with contextlib.redirect_stdout(io.StringIO()) as out:
            assert elsewhere(lambda: main(["keys", "add", "test", *arguments])) == 0
        return out.getvalue().splitlines()[0]

    def for_browser(self, origin: str, *more: str) -> str:
        return self.key("--browser", "--origin", origin, "--venue", VENUE, *more)


@pytest.fixture(scope="module")
def keyed(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Keyed]:
    database = f"sqlite:///{tmp_path_factory.mktemp('keyed')}/history.sqlite3"
    with pytest.MonkeyPatch.context() as patch, running(bootstrap(Settings(venues=(demo_venue_path(),), database=database))) as address:
        patch.setenv("HANGWORTHY_DATABASE", database)
        yield Keyed(address)


def slack(page: Page) -> None:
    """Type a canvas that is slack."""
    for name, value in {"width": "100", "height": "70 cm", "belly": "9"}.items():
        page.fill(f"#{name}", value)


def hint(page: Page, field: str) -> Any:
    """The box that the field's label is followed by."""
    return page.locator(f"label:has(#{field}) + .hangworthy-hint")


NEVER = ("eval(", "Function(", "innerHTML", "outerHTML", "insertAdjacentHTML", "document.write", ".style", '"submit"', "localStorage",
         "cookie", "preventDefault", "setCustomValidity")  # fmt: skip


def test_what_is_served_says_the_same_as_its_source() -> None:
    """All that may be left out stands between the words: no text that somebody reads, and no sign that means something."""
    source = (Path(hints.__file__).parent / "hints.js").read_text("utf-8")
    without_comments = re.sub(r"(?m)(^|\s)//.*$", "", source)
    words = "".join(without_comments.split())
    assert "".join(hints_script().decode().split("\n", 1)[1].split()) == words
    texts = re.compile(r'"[^"\n]*"|`[^`]*`')
    assert texts.findall(hints_script().decode()) == texts.findall(without_comments)


def test_the_script_is_small_plain_and_served_to_be_kept(open_service: str) -> None:
    text = hints_script().decode()
    assert len(hints_script()) < 10 * 1024
    for never in NEVER:
        assert never not in text, never
    answer = httpx.get(f"{open_service}/form/hints.js", timeout=60)
    assert answer.content == hints_script()
    assert answer.headers["content-type"] == "text/javascript; charset=utf-8"
    assert answer.headers["cross-origin-resource-policy"] == "cross-origin"
    assert answer.headers["access-control-allow-origin"] == "*"
    assert "max-age" in answer.headers["cache-control"]
    again = httpx.get(f"{open_service}/form/hints.js", headers={"if-none-match": answer.headers["etag"]}, timeout=60)
    assert (again.status_code, again.content, again.headers["etag"]) == (304, b"", answer.headers["etag"])


def test_a_page_of_an_allowed_origin_gets_hints_and_nothing_is_stored(page: Page, keyed: Keyed) -> None:
    content: dict[str, str] = {}
    policy = f"default-src 'none'; script-src {keyed.address}; connect-src {keyed.address}; require-trusted-types-for 'script'"
    with pages(content, policy) as site:
        content["/"] = document(keyed.address, key=keyed.for_browser(site), venue=VENUE, kind="stretched-canvas")
        page.goto(site)
        slack(page)
        expect(hint(page, "belly")).to_contain_text("The canvas is slack")
        expect(page.locator("[data-hangworthy-summary]")).to_contain_text("Something to do before drop-off so far.")
    headers = {"authorization": f"Bearer {keyed.key('--scope', 'admin')}"}
    assert httpx.get(f"{keyed.address}/evaluations", headers=headers, timeout=60).json() == {"items": []}


def test_a_page_of_another_origin_gets_none_and_works(page: Page, keyed: Keyed) -> None:
    content: dict[str, str] = {}
    with pages(content) as site:
        content["/"] = document(keyed.address, key=keyed.for_browser(site), venue=VENUE)
        other = site.replace("127.0.0.1", "localhost")  # the same server, and yet another origin
        page.goto(other)
        with page.expect_event("requestfailed", lambda request: "evaluations" in request.url):
            page.fill("#width", "wide")
        expect(page.locator(".hangworthy-hint").first).to_be_empty()
        page.click("button")
        expect(page.locator("p")).to_have_text("thanks")


def test_too_many_requests_are_waited_out_in_silence(page: Page, keyed: Keyed) -> None:
    content: dict[str, str] = {}
    with pages(content) as site:
        key = keyed.for_browser(site, "--per-address", "6")  # one more in 10 s, so that a busy machine still types before it is due
        content["/"] = document(keyed.address, key=key, venue=VENUE, kind="stretched-canvas")
        page.goto(site)
        headers = {"authorization": f"Bearer {key}", "origin": site}
        body = {"works": [{"ref": "a"}], "venue": VENUE}
        used = [
            httpx.post(f"{keyed.address}/evaluations?record=false", json=body, headers=headers, timeout=60).status_code for _ in range(9)
        ]
        assert used[-1] == 429
        with page.expect_response(lambda response: response.status == 429) as refused:
            slack(page)
        assert 1 <= int(refused.value.headers["retry-after"]) <= 10
        expect(hint(page, "belly")).to_contain_text("slack", timeout=20_000)  # by itself, once the time has come


def test_an_older_answer_that_comes_late_is_dropped(page: Page, open_service: str) -> None:
    held: list[Route] = []

    def hold_the_first(route: Route) -> None:
        if held:
            route.continue_()
        else:
            held.append(route)

    with pages({"/": document(open_service, kind="stretched-canvas", wait="50")}) as site:
        page.goto(site)
        page.route(EVALUATIONS, hold_the_first)
        with page.expect_request(EVALUATIONS):
            page.fill("#width", "wide")
        with page.expect_response(EVALUATIONS):
            slack(page)
        expect(hint(page, "belly")).to_contain_text("slack")
        with contextlib.suppress(Error):  # the browser may have let go of it
            late = {"errors": [{"pointer": "/works/0/width_mm", "message": "late"}]}
            held[0].fulfill(status=422, headers={"access-control-allow-origin": "*"}, json=late)
        page.wait_for_timeout(300)
        expect(hint(page, "width")).to_be_empty()
        expect(hint(page, "belly")).to_contain_text("slack")


def test_with_the_service_away_the_form_works_in_silence(page: Page, open_service: str) -> None:
    with pages({"/": document(open_service, kind="stretched-canvas"), "/no-script": document("http://127.0.0.1:9")}) as site:
        page.goto(site)
        slack(page)
        expect(hint(page, "belly")).to_contain_text("slack")
        asked: list[str] = []

        def away(route: Route) -> None:
            asked.append(route.request.url)
            route.abort("connectionrefused")

        page.route(EVALUATIONS, away)
        page.fill("#belly", "8")
        expect(hint(page, "belly")).to_be_empty()  # what may no longer hold is taken away
        for number in range(12):
            page.fill("#belly", str(number))
            page.wait_for_timeout(100)
        assert len(asked) <= 3  # and it is not asked on and on
        page.click("button")
        expect(page.locator("p")).to_have_text("thanks")
        page.goto(f"{site}/no-script")
        page.fill("#width", "wide")
        page.click("button")
        expect(page.locator("p")).to_have_text("thanks")


@pytest.mark.parametrize("status", [429, 503])
def test_a_service_that_asks_for_a_pause_gets_it(page: Page, open_service: str, status: int) -> None:
    times: list[float] = []

    def busy_once(route: Route) -> None:
        times.append(1.0)
        if len(times) > 1:
            route.continue_()
            return
        headers = {"access-control-allow-origin": "*", "access-control-expose-headers": "retry-after", "retry-after": "2"}
        route.fulfill(status=status, headers=headers, content_type="application/problem+json", json={"detail": "later"})

    with pages({"/": document(open_service, kind="stretched-canvas")}) as site:
        page.goto(site)
        page.route(EVALUATIONS, busy_once)
        slack(page)
        page.wait_for_timeout(1500)
        assert len(times) == 1
        expect(hint(page, "belly")).to_contain_text("slack")
        assert len(times) == 2


def test_a_key_that_is_no_good_ends_the_asking(page: Page, keyed: Keyed) -> None:
    content: dict[str, str] = {}
    with pages(content) as site:
        content["/"] = document(keyed.address, key=keyed.for_browser(site) + "x", venue=VENUE)
        asked: list[str] = []
        page.on("request", lambda request: asked.append(request.url) if "evaluations" in request.url else None)
        page.goto(site)
        with page.expect_response(lambda response: response.status == 401):
            page.fill("#width", "100")
        for value in ("1", "2", "3"):
            page.fill("#height", value)
            page.wait_for_timeout(500)
        assert len(asked) <= 2  # the question, and perhaps the browser's own before it


KINDS_OF_INPUT = """
<input data-fact="/title" value=" Low tide "><textarea data-fact="/medium">oil on linen</textarea>
<input type="number" data-fact="/width_mm" value="610.5"><input type="number" data-fact="/height_mm" data-unit="cm" value="90">
<input data-fact="/mass_kg" data-unit="kg" value="9 lb"><input data-fact="/depth_mm" value="">
<select data-fact="/technique"><option value=""></option><option value="oil" selected>Oil</option></select>
<label><input type="radio" name="f" value="true" data-fact="/framed">yes</label>
<label><input type="radio" name="f" value="false" data-fact="/framed" checked>no</label>
<input type="checkbox" data-fact="/friable"><input type="checkbox" data-fact="/canvas/keyed" data-unchecked="no">
<input type="checkbox" value="torn" data-fact="/condition/faults" checked><input type="checkbox" value="hole" data-fact="/condition/faults">
<input type="checkbox" value="dusty" data-fact="/condition/faults" checked>
<select multiple data-fact="/canvas/bar_condition">
<option selected>split</option><option selected>loose</option><option>sound</option></select>
<select data-fact="/canvas/edge_faults" data-type="list"><option selected>none</option></select>
<input data-fact="/hanging/points" data-type="number" value="2">
<input data-fact="/canvas/corner_gaps_mm/0" value="0"><input data-fact="/canvas/corner_gaps_mm/1" value="6 ± 1">
<input data-fact="/canvas/corner_gaps_mm/2" value="0"><input data-fact="/canvas/corner_gaps_mm/3" value="0">
<input data-fact="/canvas/edge_bow_mm/0" value="1"><input data-fact="/canvas/edge_bow_mm/1" value="">
"""


def test_every_kind_of_input_becomes_a_fact(page: Page, open_service: str) -> None:
    with pages({"/": document(open_service, KINDS_OF_INPUT, kind="stretched-canvas", stage="arrival", venue=VENUE)}) as site:
        with page.expect_response(EVALUATIONS) as answered:
            page.goto(site)  # a browser has filled it in again: it is asked without a keystroke
        assert answered.value.status == 200, answered.value.text()
        sent = json.loads(answered.value.request.post_data or "")
    assert sent == {
        "stage": "arrival",
        "venue": VENUE,
        "works": [{
            "ref": "form", "kind": "stretched-canvas", "title": "Low tide", "medium": "oil on linen", "width_mm": 610.5,
            "height_mm": "90 cm", "mass_kg": "9 lb", "technique": "oil", "framed": False,
            "condition": {"faults": ["torn", "dusty"]}, "hanging": {"points": 2},
            "canvas": {
                "keyed": False, "bar_condition": ["split", "loose"], "edge_faults": ["none"], "corner_gaps_mm": ["0", "6 ± 1", "0", "0"],
            },
        }],
    }  # fmt: skip


def test_what_the_page_says_of_its_fields_stays(page: Page, open_service: str) -> None:
    classes = {"class_fault": "oops", "class_invalid": "red mine-too", "class_prepare": "todo", "class_next": ""}
    with pages({"/": document(open_service, kind="stretched-canvas", **classes)}) as site:
        page.goto(site)
        belly = page.locator("#belly")
        page.fill("#belly", "deep")
        expect(belly).to_have_attribute("aria-invalid", "true")
        expect(belly).to_have_class("mine red mine-too")
        expect(hint(page, "belly").locator(".oops")).to_contain_text("“deep”")
        assert (belly.get_attribute("aria-describedby") or "").split() == ["own", hint(page, "belly").get_attribute("id")]
        slack(page)
        expect(hint(page, "belly").locator(".todo")).to_contain_text("slack")
        expect(belly).to_have_attribute("aria-invalid", "false")
        expect(belly).to_have_class("mine")
        page.fill("#belly", "1")
        expect(hint(page, "belly")).to_be_empty()
        expect(belly).to_have_attribute("aria-describedby", "own")


def test_screen_readers_are_told_politely(page: Page, open_service: str) -> None:
    with pages({"/": document(open_service, kind="stretched-canvas")}) as site:
        page.goto(site)
        expect(hint(page, "belly")).to_have_attribute("aria-live", "polite")
        expect(hint(page, "belly")).to_be_empty()  # the region was there before it has something to say
        expect(page.get_by_role("status")).to_have_count(1)
        slack(page)
        expect(page.get_by_role("status")).to_contain_text("so far")
        expect(page.get_by_role("textbox", name="Belly")).to_have_accessible_description(re.compile("In mm .*The canvas is slack"))


def test_questions_without_a_field_are_listed_where_the_page_wants_them(page: Page, open_service: str) -> None:
    with pages({"/": document(open_service, kind="stretched-canvas", next="2")}) as site:
        page.goto(site)
        page.fill("#width", "100")
        expect(page.locator("[data-hangworthy-more] li")).to_have_count(2)
        expect(page.locator("[data-hangworthy-more] li").first).to_have_text(
            "Which of these do you see on the front, the back and the edges?"
        )


def test_while_there_is_a_hazard_only_its_own_remedy_is_shown(page: Page, open_service: str) -> None:
    mould = '<label>Mould <input type="checkbox" id="mould" value="mould" data-fact="/condition/faults"></label>'
    page.set_content(document(open_service, FIELDS + mould, kind="stretched-canvas"))
    slack(page)
    expect(hint(page, "belly")).to_contain_text("wooden keys")
    page.check("#mould")
    expect(hint(page, "belly")).not_to_contain_text("wooden keys")
    expect(hint(page, "belly")).to_contain_text("The canvas is slack")
    expect(page.locator("label:has(#mould) + .hangworthy-hint")).to_contain_text("Do not brush")
    page.uncheck("#mould")
    expect(hint(page, "belly")).to_contain_text("wooden keys")


def test_a_fault_stays_marked_while_the_rest_cannot_be_asked(page: Page, open_service: str) -> None:
    """The first answer names the fault; the second, for the sake of the rest, is turned away: what is shown must not be of before."""
    statuses: list[int] = []

    def busy_after_a_fault(route: Route) -> None:
        if statuses and statuses[-1] == 422:
            statuses.append(429)
            headers = {"access-control-allow-origin": "*", "access-control-expose-headers": "retry-after", "retry-after": "30"}
            route.fulfill(status=429, headers=headers, content_type="application/problem+json", json={"detail": "later"})
            return
        answer = route.fetch()
        statuses.append(answer.status)
        route.fulfill(response=answer)

    with pages({"/": document(open_service, kind="stretched-canvas")}) as site:
        page.goto(site)
        page.route(EVALUATIONS, busy_after_a_fault)
        slack(page)
        expect(hint(page, "belly")).to_contain_text("slack")
        page.fill("#belly", "1")
        page.fill("#width", "12o")
        expect(hint(page, "width")).to_contain_text("12o")
        expect(hint(page, "belly")).to_have_text("")
        expect(page.locator("#width")).to_have_attribute("aria-invalid", "true")
        assert statuses[-2:] == [422, 429]


def test_what_the_page_got_wrong_is_told_its_owner_and_not_the_artist(page: Page, open_service: str) -> None:
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    wrong = '<label>Prize <input id="prize" data-fact="/prize"></label><label>Mass <input id="mass" data-fact="mass_kg"></label>'
    with pages({"/": document(open_service, FIELDS + wrong, kind="stretched-canvas")}) as site:
        page.goto(site)
        page.fill("#prize", "300")
        page.fill("#mass", "9oo g")
        slack(page)
        expect(hint(page, "belly")).to_contain_text("slack")
        expect(hint(page, "mass")).to_contain_text("9oo g")
        expect(hint(page, "prize")).to_have_text("")
    assert any("prize" in one for one in said)


def test_a_count_in_a_text_field_is_taken_for_the_number_that_it_is(page: Page, open_service: str) -> None:
    number = '<label>Number <input id="number" data-fact="/editions/number"></label>'
    with pages({"/": document(open_service, FIELDS + number, kind="original-print")}) as site:
        page.goto(site)
        page.fill("#number", "51")
        with page.expect_response(lambda response: response.status == 200):
            page.fill("#width", "100")
        expect(hint(page, "number")).not_to_contain_text("quotation")


def test_free_text_has_its_questions_and_contradictions(page: Page, open_service: str) -> None:
    size = '<label>Size <input id="size" data-fact="/as_written/dimensions"></label>'
    with pages({"/": document(open_service, FIELDS + size, kind="stretched-canvas")}) as site:
        page.goto(site)
        page.fill("#size", "24 x 36 in")
        expect(hint(page, "size")).to_contain_text("Which number is the height?")
        page.fill("#size", "24 in high, 36 in wide")
        page.fill("#height", "90 cm")
        expect(hint(page, "height")).to_contain_text("What was given counts")


def test_the_pages_own_scripts_hear_of_every_answer(page: Page, open_service: str) -> None:
    with pages({"/": document(open_service, kind="stretched-canvas")}) as site:
        page.goto(site)
        page.evaluate("() => { window.heard = []; document.addEventListener('hangworthy:answer', (event) => heard.push(event.detail)); }")
        page.fill("#width", "wide")
        page.wait_for_function("() => heard.length === 2")  # the problem, and the answer for the rest
        first, second = page.evaluate("() => heard")
        assert (first["status"], first["told"]["type"]) == (422, "/problems/invalid-facts")
        assert (second["status"], second["told"]["works"][0]["ref"]) == (200, "form")


def test_in_german_the_request_says_so_and_every_word_is_german(page: Page, open_service: str) -> None:
    with pages({"/": document(open_service, kind="stretched-canvas", lang="de-AT"), "/en": document(open_service, lang="en")}) as site:
        page.goto(site)
        with page.expect_request(EVALUATIONS) as german:
            slack(page)
        assert json.loads(german.value.post_data or "")["language"] == "de"
        expect(page.locator("[data-hangworthy-summary]")).to_contain_text("Vor der Abgabe etwas zu tun, soweit bekannt. Noch möglich: ")
        expect(hint(page, "belly")).to_contain_text("Leinwand")
        page.goto(f"{site}/en")
        with page.expect_request(EVALUATIONS) as english:
            page.fill("#width", "100")
        assert "language" not in json.loads(english.value.post_data or "")


def test_fields_that_come_later_are_taken_up(page: Page, open_service: str) -> None:
    with pages({"/": document(open_service, kind="stretched-canvas")}) as site:
        page.goto(site)
        slack(page)
        expect(hint(page, "belly")).to_contain_text("slack")
        page.evaluate("""() => {
          const field = document.createElement("input");
          field.dataset.fact = "/depth_mm";
          field.id = "depth";
          document.querySelector("form").append(field);
        }""")
        page.fill("#depth", "thick")
        expect(page.locator("#depth + .hangworthy-hint")).to_contain_text("thick")


def test_a_machine_without_a_browser_is_told_how_to_get_one(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(shutil, "which", lambda name: None)
    with pytest.raises(pytest.fail.Exception, match="apt-get install chromium"):
        chromium()
