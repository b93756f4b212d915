"""Printing: HTML in, PDF out, in a process of its own, since it takes long and knows no waiting.

``python -m hangworthy.sheets.printing`` reads a document from standard input and writes the PDF to standard output. A page that does not
fit on one sheet of paper is set smaller, step by step, the bench's at last without how to measure; what fits not even then runs on to a
further page, in readable type, so that nothing is lost.
"""

import importlib.util
import sys
from collections.abc import Mapping, Sequence
from itertools import pairwise
from pathlib import Path
from typing import Any

TIGHTER = ("page", "page tight", "page tighter", "page tightest")
BRIEF = "page tightest brief"  # the bench leaves out how to measure, rather than begin a second sheet
_FONTS = (
    ("SourceSansPro-Regular.ttf", 400, "normal"),
    ("SourceSansPro-Semibold.ttf", 600, "normal"),
    ("SourceSansPro-Bold.ttf", 700, "normal"),
)


def can_print() -> bool:
    """Return whether what printing needs is installed (the extra “pdf”)."""
    return all(importlib.util.find_spec(name) is not None for name in ("weasyprint", "font_source_sans_pro"))


def pdf_of(html: str) -> bytes:
    """Return a document as PDF/UA: real text, tagged, with its fonts in it. Raises ImportError where printing is not installed."""
    from weasyprint import CSS, HTML
    from weasyprint.text.fonts import FontConfiguration

    fonts, fetcher = FontConfiguration(), _fetcher()
    faces = CSS(string=_faces(), font_config=fonts, url_fetcher=fetcher)
    tried: dict[str, list[int]] = {}
    while True:
        rendered = HTML(string=html, url_fetcher=fetcher).render(stylesheets=[faces], font_config=fonts)
        taken = pages_of(rendered)
        fitted = fit(html, taken)
        for name, sheets in taken.items():
            tried.setdefault(name, []).append(sheets)
        if fitted == html:
            break
        html = fitted
    eased = ease(html, tried)
    if eased != html:
        rendered = HTML(string=eased, url_fetcher=fetcher).render(stylesheets=[faces], font_config=fonts)
    made: bytes = rendered.write_pdf(pdf_variant="pdf/ua-1")
    return made


def _fetcher() -> Any:
    """Return what fetches for a document: the fonts, and nothing else, whatever a title pretends to be."""
    from weasyprint.urls import URLFetcher

    allowed = {(_folder() / name).as_uri() for name, _, _ in _FONTS}

    class FontsOnly(URLFetcher):  # type: ignore[misc] # the library states no types
        def fetch(self, url: str, headers: Any = None) -> Any:
            if url not in allowed:
                raise ValueError("a sheet asks for nothing but its fonts")
            return super().fetch(url, headers)

    return FontsOnly(allowed_protocols=("file",))


def pages_of(rendered: Any) -> dict[str, int]:
    """Return, by the id of each page of the document, how many sheets of paper it takes, from its title to the mark at its end."""
    on = {name: number for number, page in enumerate(rendered.pages) for name in page.anchors}
    starts = {"artist": "title", "bench": "bench-title"}
    taken: dict[str, int] = {}
    for name, number in on.items():
        work, _, which = name.removesuffix("-end").partition("-")
        if name.endswith("-end") and which in starts:
            taken[f"{work}-{which}"] = number - on[f"{work}-{starts[which]}"] + 1
    return taken


def fit(html: str, taken: dict[str, int]) -> str:
    """Return the document with each page that takes more than one sheet set one step smaller, if there is a smaller step."""
    for name, sheets in taken.items():
        if sheets > 1:
            for now, then in pairwise(_steps(name)):
                old = _opening(now, name)
                if old in html:
                    html = html.replace(old, _opening(then, name), 1)
                    break
    return html


def ease(html: str, tried: Mapping[str, Sequence[int]]) -> str:
    """Return the document with each page that takes more than one sheet in every size set in the largest that takes no more.

    Small type would gain nothing there, and leave one paragraph alone on the last sheet. ``tried`` are the sheets that each page took, size
    by size.
    """
    for name, sheets in tried.items():
        if sheets[-1] > 1:
            steps = _steps(name)
            largest = steps[sheets.index(min(sheets))]
            html = html.replace(_opening(steps[-1], name), _opening(largest, name), 1)
    return html


def _steps(name: str) -> tuple[str, ...]:
    """Return the ways to set a page, the roomiest first."""
    return (*TIGHTER, BRIEF) if name.endswith("-bench") else TIGHTER


def _opening(style: str, name: str) -> str:
    return f'<section class="{style}" id="{name}"'


def _folder() -> Path:
    spec = importlib.util.find_spec("font_source_sans_pro")
    return Path(spec.origin or "").parent / "files" if spec else Path()


def _faces() -> str:
    folder = _folder()
    return "".join(
        f'@font-face {{ font-family: "Sheet Sans"; src: url("{(folder / name).as_uri()}"); font-weight: {weight}; font-style: {slant} }}'
        for name, weight, slant in _FONTS
    )


def main() -> int:
    """Print standard input; return 0."""
    sys.stdout.buffer.write(pdf_of(sys.stdin.buffer.read().decode("utf-8")))
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
