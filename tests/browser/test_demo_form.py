"""The demo's form in a real browser: half filled, mistyped, put right, ready; small, and without barriers."""

import difflib
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path
from typing import Any

import axe_playwright_python
import httpx
import pytest
from playwright.sync_api import Page, expect

from api.serving import running, tiny_app
from browser.conftest import PATIENCE
from hangworthy.app import bootstrap
from hangworthy.demo import demo_form, demo_venue_path
from hangworthy.settings import Settings

AXE = (files(axe_playwright_python) / "axe.min.js").read_text("utf-8")
SUMMARY = "[data-hangworthy-summary]"
MOST_CHANGED = 10


@pytest.fixture(scope="module")
def service() -> Iterator[str]:
    settings = Settings(venues=(demo_venue_path(),), database="none")
    with running(bootstrap(settings, demo=True)) as address:
        yield address


@pytest.fixture
def form(page: Page, service: str) -> Page:
    page.goto(f"{service}/demo")
    return page


def fill_all(form: Page, *, belly: str = "2") -> None:
    for name, value in {"width": "100", "height": "70 cm", "age": "3 months", "belly": belly}.items():
        form.fill(f"#{name}", value)
    for number in range(1, 5):
        form.fill(f"[name=corner{number}]", "0")
        form.fill(f"[name=bar{number}]", "0.5")
    for name, value in {"paint": "acrylic", "keys": "true", "bars": "sound", "edges": "none"}.items():
        form.select_option(f"#{name}", value)
    form.check("[name=seen][value=none]")


def violations(page: Page) -> list[tuple[str, Any]]:
    """Everything that axe-core finds; evaluated by the driver, since the page's policy lets no other script in."""
    page.evaluate(AXE)
    found = page.evaluate("() => axe.run(document, {resultTypes: ['violations']})")
    return [(one["id"], [node["html"] for node in one["nodes"]]) for one in found["violations"]]


def test_the_form_was_taken_up_with_few_lines() -> None:
    plain, changed = (demo_form(name).decode().splitlines() for name in ("plain.html", "form.html"))
    lines = list(difflib.ndiff(plain, changed))
    new, gone = (sum(line.startswith(sign) for line in lines) for sign in ("+ ", "- "))
    assert 0 < new <= MOST_CHANGED
    assert gone <= new


def test_it_is_there_with_the_demo_only_and_its_policy_is_strict(service: str) -> None:
    for path in ("/demo", "/demo/plain"):
        policy = httpx.get(service + path, timeout=60).headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "script-src 'self'" in policy
        assert "unsafe" not in policy
    with running(tiny_app()) as other:
        assert httpx.get(f"{other}/demo", timeout=60).status_code == 404
        assert httpx.get(f"{other}/form/hints.js", timeout=60).status_code == 200


def test_type_see_hints_correct_and_see_ready(form: Page) -> None:
    fill_all(form, belly="9")
    belly = form.locator("#belly")
    expect(form.locator("#belly ~ .hangworthy-hint")).to_contain_text("The canvas is slack")
    expect(form.locator("#belly ~ .hangworthy-hint")).to_contain_text("Tap the corner keys in evenly")
    expect(form.locator(SUMMARY)).to_have_text("Something to do before drop-off.")
    assert belly.get_attribute("aria-invalid") is None
    belly.fill("2")
    expect(form.locator(SUMMARY)).to_have_text("Ready to hang.")
    expect(form.locator("#belly ~ .hangworthy-hint")).to_be_empty()


def test_a_typing_error_is_told_at_its_field_and_the_rest_has_its_hints(form: Page) -> None:
    fill_all(form, belly="9")
    form.fill("#width", "wide")
    hint = form.locator("#width ~ .hangworthy-hint")
    expect(hint).to_contain_text("wide")
    expect(form.locator("#width")).to_have_attribute("aria-invalid", "true")
    described = form.locator("#width").get_attribute("aria-describedby") or ""
    assert hint.get_attribute("id") in described.split()
    expect(form.locator(SUMMARY)).to_contain_text("Please look at the marked fields.")
    form.fill("#width", "39 in")
    expect(form.locator("#width")).not_to_have_attribute("aria-invalid", "true")
    expect(form.locator("#belly ~ .hangworthy-hint")).to_contain_text("slack")
    assert form.locator("#width").get_attribute("aria-describedby") is None


def test_what_is_needed_next_is_marked(form: Page) -> None:
    form.fill("#width", "100")
    form.fill("#height", "70")
    expect(form.locator(SUMMARY)).to_contain_text("Ready to hang so far. Could become: not at this venue.")
    needed = form.locator(".hangworthy-next, .note").filter(has_text="Needed next.")
    expect(needed).to_have_count(3)
    seen = form.locator("fieldset", has_text="What can be seen on it?")
    expect(seen).to_contain_text("Needed next. By a window")
    form.check("[name=seen][value=none]")
    expect(seen).not_to_contain_text("Needed next.")


def test_a_list_counts_once_all_its_fields_are_filled(form: Page) -> None:
    form.fill("#width", "100")
    for number, value in enumerate(("0", "14", "0"), 1):
        form.fill(f"[name=corner{number}]", value)
    corners = form.locator("fieldset", has_text="the gap under each corner")
    expect(form.locator(SUMMARY)).not_to_be_empty()
    expect(corners.locator(".warning")).to_have_count(0)
    form.fill("[name=corner4]", "0")
    expect(corners.locator(".warning").first).to_be_visible()
    assert form.locator("[name=corner2]").get_attribute("aria-describedby")
    form.fill("[name=corner3]", "x")
    expect(corners.locator(".error")).to_contain_text("“x”")
    assert [form.locator(f"[name=corner{n}]").get_attribute("aria-invalid") for n in (1, 2, 3, 4)] == [None, None, "true", None]


def test_submitting_and_starting_again_are_not_touched(form: Page) -> None:
    form.fill("#width", "wide")
    expect(form.locator("#width")).to_have_attribute("aria-invalid", "true")
    form.click("button[type=reset]")
    expect(form.locator("#width")).not_to_have_attribute("aria-invalid", "true")
    form.fill("#width", "wide")
    expect(form.locator("#width")).to_have_attribute("aria-invalid", "true")
    form.focus("#keys")
    form.click("button:not([type])")
    expect(form.locator("h1")).to_have_text("Thank you")


def test_it_has_no_barriers_in_any_state(form: Page, service: str) -> None:
    assert violations(form) == []
    fill_all(form, belly="9")
    form.fill("#width", "wide")
    expect(form.locator("#width")).to_have_attribute("aria-invalid", "true")
    assert violations(form) == []
    form.goto(f"{service}/demo/plain")
    assert violations(form) == []


def test_the_plain_form_asks_nothing(page: Page, service: str) -> None:
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(f"{service}/demo/plain")
    page.fill("#width", "100")
    page.wait_for_timeout(700)
    assert not [url for url in asked if "evaluations" in url or "hints" in url]


@pytest.mark.parametrize("width", [360, 900])
def test_it_fits_a_small_screen(form: Page, width: int, tmp_path: Path) -> None:
    form.set_viewport_size({"width": width, "height": 740})
    fill_all(form, belly="9")
    form.fill("#width", "wide")
    form.fill("[name=corner2]", "30")
    expect(form.locator("#width")).to_have_attribute("aria-invalid", "true")
    expect(form.locator(".warning").first).to_be_visible(timeout=PATIENCE)
    form.screenshot(path=tmp_path / f"form-{width}.png", full_page=True)
    assert form.evaluate("() => document.documentElement.scrollWidth") <= width
    for box in form.locator("input:visible, select:visible, .error, .warning, .note").all():
        place = box.bounding_box()
        assert place is None or (place["x"] >= 0 and place["x"] + place["width"] <= width)


def test_the_keyboard_alone_is_enough(form: Page) -> None:
    form.focus("#width")
    for text in ("wide", "70"):
        form.keyboard.type(text)
        form.keyboard.press("Tab")
    expect(form.locator("#width")).to_have_attribute("aria-invalid", "true")
    assert form.evaluate("() => document.activeElement.id") == "age"  # no hint takes the focus, and none stands between the fields
