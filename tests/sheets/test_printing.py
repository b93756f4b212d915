"""Printing: two pages a work, real text, tagged, fonts inside, on both papers, in grey; bounded in number and time."""

import asyncio
import io
import re
import sys
from typing import Any

import pypdf
import pypdfium2
import pytest

from hangworthy.contract import Stage
from hangworthy.sheets import printing
from hangworthy.sheets.printer import Printer, PrinterBusyError, PrintingFailedError
from hangworthy.sheets.printing import ease, fit, pages_of, pdf_of
from sheets.making import CANVAS, CROPPED, MATTED, UNSURE, html_of

SIZES = {"a4": (595, 842), "letter": (612, 792)}  # ISO 216 and ANSI/ASME Y14.1, in points
HOSTILE = '</title><img src="file:///etc/passwd"><link rel=stylesheet href="http://127.0.0.1:9/x"> ü ß × ′ ″ − ±'


@pytest.fixture(scope="module", params=[("en", "a4"), ("de", "letter")], ids="-".join)
def printed(request: pytest.FixtureRequest) -> tuple[str, str, bytes]:
    language, paper = request.param
    return language, paper, pdf_of(html_of([CANVAS, {**CROPPED, "title": HOSTILE}], language, paper))


def test_each_work_has_two_pages_of_the_paper_asked_for(printed: tuple[str, str, bytes]) -> None:
    _, paper, content = printed
    reader = pypdf.PdfReader(io.BytesIO(content))
    assert [tuple(round(float(one)) for one in page.mediabox[2:]) for page in reader.pages] == [SIZES[paper]] * 4


@pytest.mark.parametrize(
    ("language", "sentences"),
    [
        ("en", ("What we could not read for sure", "“24.5 x 36 in”: Which number is the height?", "24.5 in high and 36 in wide")),
        ("de", ("Was wir nicht sicher lesen konnten", "„24.5 x 36 in“: Welche Zahl ist die Höhe?", "24,5 in hoch und 36 in breit")),
    ],
)
def test_what_could_not_be_read_is_printed_on_the_artists_page(language: Any, sentences: tuple[str, ...]) -> None:
    reader = pypdf.PdfReader(io.BytesIO(pdf_of(html_of([UNSURE], language))))
    artist, bench = (re.sub(r"\s+", " ", page.extract_text()) for page in reader.pages)
    for sentence in sentences:
        assert sentence in artist
        assert sentence not in bench


def test_it_holds_text_title_language_tags_and_fonts(printed: tuple[str, str, bytes]) -> None:
    language, _, content = printed
    reader = pypdf.PdfReader(io.BytesIO(content))
    text = re.sub(r"\s+", " ", " ".join(page.extract_text() for page in reader.pages))
    want = {
        "en": (
            "What to do, in this order",
            "Have a framer fit a cross bar in the middle",
            "12 January 2026",
            "Where the braces go",
            "W 1680 mm × H 90 cm",
        ),
        "de": (
            "Was zu tun ist, in dieser Reihenfolge",
            "12. Januar 2026",
            "Wohin die Streben kommen",
            "eigene Regel",
            "B 1680 mm × H 90 cm",
        ),
    }
    for sentence in (*want[language], "−3 mm", HOSTILE):
        assert sentence in text
    root: Any = reader.trailer["/Root"]
    assert root["/Lang"] == language
    assert root["/MarkInfo"]["/Marked"]
    assert "/StructTreeRoot" in root
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert reader.metadata is not None
    assert reader.metadata.title
    assert "pdfuaid" in root["/Metadata"].get_object().get_data().decode()
    fonts = [one.get_object() for page in reader.pages for one in page["/Resources"]["/Font"].values()]  # type: ignore[index]
    assert fonts
    for font in fonts:
        (inside,) = font["/DescendantFonts"]
        descriptor = inside.get_object()["/FontDescriptor"].get_object()
        assert {"/FontFile2", "/FontFile3"} & set(descriptor)
        assert "Sheet-Sans" in font["/BaseFont"]  # every sign is in the one family that comes with it


def test_it_prints_in_grey(printed: tuple[str, str, bytes]) -> None:
    for page in pypdfium2.PdfDocument(printed[2]):
        picture = page.render(scale=0.6).to_pil().convert("RGB")
        assert all(red == green == blue for _, (red, green, blue) in picture.getcolors(1 << 24) or ())
        assert len(picture.getcolors(1 << 24) or ()) > 2


def test_a_page_that_is_too_full_is_set_smaller_step_by_step() -> None:
    html = html_of([MATTED])
    again = fit(html, {"w1-artist": 1, "w1-bench": 2})
    assert '<section class="page" id="w1-artist"' in again
    assert '<section class="page tight" id="w1-bench"' in again
    for _ in range(5):
        again = fit(again, {"w1-bench": 2})
    assert '<section class="page tightest brief" id="w1-bench"' in again
    assert fit(again, {"w1-bench": 2}) == again
    for _ in range(5):
        again = fit(again, {"w1-artist": 2})
    assert '<section class="page tightest" id="w1-artist"' in again  # there is nothing that its reader could do without


def test_a_page_that_small_type_does_not_save_is_set_in_the_largest_that_takes_no_more() -> None:
    html = html_of([MATTED]).replace('class="page"', 'class="page tightest"')
    tried = {"w1-artist": [3, 2, 2, 2, 2], "w1-bench": [2, 2, 2, 1, 1]}
    eased = ease(html, tried)
    assert '<section class="page tight" id="w1-artist"' in eased
    assert '<section class="page tightest" id="w1-bench"' in eased
    assert '<section class="page" id="w1-artist"' in ease(html, {"w1-artist": [2, 2, 2, 2]})


LONG = "Low tide, seven – a rather long title about the sea and the weather of the northern coast"
FAULTY: dict[str, Any] = {
    **CANVAS, "title": LONG, "artist_name": "Ida Mørk-Ångström", "mass_kg": 14.2,
    "canvas": {**CANVAS["canvas"], "bar_condition": ["stained", "loose"], "edge_bow_mm": [1, 6, 0, 1], "billow_mm": 19},
    "condition": {"faults": ["dusty", "cracked", "scratched"], "cracks_lift": True},
}  # fmt: skip


def test_no_sheet_of_paper_holds_a_lone_paragraph() -> None:
    reader = pypdf.PdfReader(io.BytesIO(pdf_of(html_of([FAULTY], "de", "letter", Stage.HANGING))))
    assert len(reader.pages) > 2
    assert min(len(page.extract_text().splitlines()) for page in reader.pages) > 15


@pytest.mark.parametrize("size", ["page", "page tight", "page tighter", "page tightest"])
def test_the_first_line_of_a_title_is_as_long_as_it_can_be(size: str) -> None:
    html = html_of([{**MATTED, "title": LONG, "artist_name": "Ida Mørk-Ångström"}], "de", "letter").replace(
        'class="page"', f'class="{size}"'
    )
    (first, *_) = pypdfium2.PdfDocument(pdf_of(html))
    lines = first.get_textpage().get_text_range().splitlines()
    (line,) = [one for one in lines if one.startswith("Low")]
    assert line.startswith("Low tide, seven – a rather long title about the sea")


HOW = "Measure from corner to corner with a steel tape."


@pytest.mark.parametrize(("size", "told"), [("page", True), ("page tightest brief", False)])
def test_the_bench_is_told_how_to_measure_as_long_as_one_sheet_holds_it(size: str, told: bool) -> None:
    html = html_of([CANVAS]).replace('class="page" id="w1-bench"', f'class="{size}" id="w1-bench"')
    _, bench = (re.sub(r"\s+", " ", page.extract_text()) for page in pypdf.PdfReader(io.BytesIO(pdf_of(html))).pages)
    assert "To find out at arrival" in bench or "To find out on the bench" in bench
    assert "Diagonals" in bench
    assert (HOW in bench) is told


def test_pages_are_counted_from_a_title_to_the_mark_at_the_end() -> None:
    class Page:
        def __init__(self, *anchors: str) -> None:
            self.anchors = dict.fromkeys(anchors)

    class Rendered:
        pages = (Page("w1-title"), Page("w1-artist-end"), Page("w1-bench-title", "w1-bench-end"))

    assert pages_of(Rendered()) == {"w1-artist": 2, "w1-bench": 1}


def test_a_document_is_given_its_fonts_and_nothing_else() -> None:
    fetcher = printing._fetcher()
    for url in ("file:///etc/passwd", "http://127.0.0.1:9/", "data:text/plain,x"):
        with pytest.raises(ValueError, match="nothing but its fonts"):
            fetcher.fetch(url)


def talking(code: str) -> tuple[str, ...]:
    return (sys.executable, "-c", code)


def test_no_more_are_printed_at_once_than_may_be_and_the_next_can_be_printed_after() -> None:
    async def crowd() -> list[Any]:
        printer = Printer(2, 20, talking("import sys,time; sys.stdin.read(); time.sleep(0.3); sys.stdout.write('%PDF-1.7')"))
        first = await asyncio.gather(*(printer.pdf("x") for _ in range(4)), return_exceptions=True)
        return [*first, await printer.pdf("x"), printer.running]

    *found, last, running = asyncio.run(crowd())
    assert sorted(type(one).__name__ for one in found) == ["PrinterBusyError", "PrinterBusyError", "bytes", "bytes"]
    assert (last, running) == (b"%PDF-1.7", 0)
    assert PrinterBusyError.retry_after > 0


@pytest.mark.parametrize("code", ["import time; time.sleep(60)", "raise SystemExit(3)", "print('no pdf')"], ids=["slow", "broken", "other"])
def test_what_does_not_become_a_pdf_in_time_is_given_up_and_its_process_is_gone(code: str) -> None:
    async def run() -> Printer:
        printer = Printer(1, 0.7, talking(code))
        with pytest.raises(PrintingFailedError):
            await printer.pdf("x")
        return printer

    assert asyncio.run(run()).running == 0


def test_who_has_gone_leaves_no_process_behind() -> None:
    async def run() -> int:
        printer = Printer(1, 30, talking("import time; time.sleep(30)"))
        task = asyncio.create_task(printer.pdf("x"))
        await asyncio.sleep(0.3)
        task.cancel()
        with pytest.raises(asyncio.CancelledError):
            await task
        return printer.running

    assert asyncio.run(run()) == 0


def test_the_real_command_prints() -> None:
    async def run() -> bytes:
        return await Printer().pdf('<!doctype html><html lang="en"><head><title>t</title></head><body><p>Low tide</p></body></html>')

    assert "Low tide" in pypdf.PdfReader(io.BytesIO(asyncio.run(run()))).pages[0].extract_text()
