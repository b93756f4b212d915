"""A whole document: two pages a work, in one language, for one size of paper. It holds no script and asks for nothing from elsewhere."""

import hashlib
from base64 import b64encode
from collections.abc import Sequence
from functools import cache
from html import escape
from importlib.resources import files
from typing import Literal, get_args

import msgspec

from hangworthy.contract.finding import WorkAnswer
from hangworthy.contract.languages import LanguageCode
from hangworthy.sheets.bench import bench_page
from hangworthy.sheets.content import Told, sheet_of
from hangworthy.sheets.page import artist_page, title_of
from hangworthy.sheets.words import tongue

Paper = Literal["a4", "letter"]
PAPERS: tuple[Paper, ...] = get_args(Paper)
_PAGE = "@page {{ size: {size}; margin: 12mm 14mm 13mm; @bottom-right {{ content: counter(page) ' / ' counter(pages); {small} }} }}"
_SMALL = 'font: 7.5pt "Sheet Sans", "DejaVu Sans", sans-serif; color: #444;'
_SIZES: dict[Paper, str] = {"a4": "A4", "letter": "letter"}


class Document(msgspec.Struct, frozen=True):
    """A document: its HTML, and the policy under which it is to be shown."""

    html: str
    policy: str


@cache
def style(paper: Paper) -> str:
    """Return the style sheet for a size of paper."""
    own = (files("hangworthy.sheets") / "style.css").read_text("utf-8")
    return _PAGE.format(size=_SIZES[paper], small=_SMALL) + "\n" + own


@cache
def policy(paper: Paper) -> str:
    """Return the policy: nothing from anywhere but the one style sheet, known by its digest (CSP Level 3)."""
    digest = b64encode(hashlib.sha256(style(paper).encode()).digest()).decode()
    return f"default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"


def document(told: Told, works: Sequence[WorkAnswer], language: LanguageCode, paper: Paper) -> Document:
    """Return the sheets of some works of an answer as one document."""
    say = tongue(language).at(told.answer.stage)
    sheets = [sheet_of(told, work) for work in works]
    pages = "".join(
        f"<article>{artist_page(told, one, say, place)}{bench_page(told, one, say, place)}</article>" for place, one in enumerate(sheets, 1)
    )
    name = title_of(sheets[0], say) if len(sheets) == 1 else say("many", count=len(sheets))
    title, about = say("page_title", works=name), say("about", work=name)
    made_on = told.answer.evaluated_at or ""
    created = f'<meta name="dcterms.created" content="{escape(made_on)}">' if made_on else ""
    html = (
        f'<!doctype html><html lang="{language}"><head><meta charset="utf-8"><title>{escape(title)}</title>'
        f'<meta name="viewport" content="width=device-width, initial-scale=1"><meta name="description" content="{escape(about)}">'
        f'<meta name="generator" content="hangworthy">{created}<style>{style(paper)}</style></head><body><main>{pages}</main></body></html>'
    )
    return Document(html, policy(paper))
