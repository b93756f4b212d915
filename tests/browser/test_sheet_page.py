"""A sheet in a browser: on a telephone, on a desk and on paper nothing covers anything, and no row is pressed to a pole."""

from typing import Any

import pytest
from playwright.sync_api import Page

from hangworthy.contract.languages import LANGUAGES
from sheets.making import CANVAS, html_of

HEAVY: dict[str, Any] = {**CANVAS, "mass_kg": 30, "canvas": {**CANVAS["canvas"], "bar_condition": ["stained", "loose"]}}
TALLEST = {360: 190, 760: 120, 801: 150, 1000: 120}  # [px] of a row: its name and its source may run over several lines
# How far the first letter of each caution is from the bar before it, and which bars reach beyond their own cells.
CAUTIONS = """() => [...document.querySelectorAll('.caution')].map(one => {
  const range = document.createRange(); range.selectNodeContents(one.querySelector('strong'));
  return range.getBoundingClientRect().left - one.getBoundingClientRect().left - parseFloat(getComputedStyle(one).borderLeftWidth);
})"""
OVER = """() => [...document.querySelectorAll('.bar')].filter(one =>
  one.getBoundingClientRect().right > one.closest('td').getBoundingClientRect().right + 0.5).length"""
ROWS = "() => [...document.querySelectorAll('tbody tr')].map(one => one.getBoundingClientRect().height)"
WIDE = """() => [document.documentElement, ...document.querySelectorAll('.wide')].every(one => one.scrollWidth <= one.clientWidth)"""


@pytest.mark.parametrize("language", LANGUAGES)
def test_nothing_covers_anything(page: Page, language: Any) -> None:
    page.set_content(html_of([HEAVY], language))
    assert page.locator(".plain .caution").count() > 0, "one of them stands in a list that is indented"
    for width, tallest in TALLEST.items():
        page.set_viewport_size({"width": width, "height": 900})
        _nothing_covered(page)
        assert page.evaluate(WIDE), width
        assert max(page.evaluate(ROWS)) <= tallest, width
    page.emulate_media(media="print")
    _nothing_covered(page)


def _nothing_covered(page: Page) -> None:
    gaps = page.evaluate(CAUTIONS)
    assert len(gaps) > 3
    assert min(gaps) > 2
    assert page.evaluate(OVER) == 0


@pytest.mark.parametrize(("width", "shown"), [(360, True), (1000, False)])
def test_on_a_narrow_screen_each_value_has_its_heading(page: Page, width: int, shown: bool) -> None:
    page.set_viewport_size({"width": width, "height": 900})
    page.set_content(html_of([HEAVY]))
    before = "() => getComputedStyle(document.querySelector('[data-rule=\"canvas.lies-flat\"] .num'), '::before').content"
    content = page.evaluate(before)
    assert (content != "none") == shown
    assert page.locator("[data-rule='canvas.lies-flat'] [data-name='Declared']").inner_text().strip() == "9 mm"
