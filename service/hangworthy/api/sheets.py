"""The controller of preparation sheets: a stored evaluation as a page to read, or as a PDF to print."""

import asyncio
from collections.abc import Mapping
from typing import Any

import msgspec
from litestar import MediaType, Response, get

from hangworthy.api.access import READ
from hangworthy.api.bounds import LONGEST_REF, MOST_SHEETS
from hangworthy.api.core import Service
from hangworthy.api.evaluations import PATH, path_id, stored
from hangworthy.api.problems import NO_PDF, NOT_ACCEPTABLE, NOT_FOUND, UNAVAILABLE, Refused
from hangworthy.api.queries import bad_query, choice, query
from hangworthy.api.replaying import evaluator_of
from hangworthy.api.requests import AnyRequest, etag_of, names_tag, service_of
from hangworthy.api.wishes import best_of
from hangworthy.contract.finding import Evaluation
from hangworthy.contract.languages import LANGUAGES, LanguageCode
from hangworthy.engine.evaluate import BadWorks, Evaluator
from hangworthy.evaluating import day_of
from hangworthy.history.port import Stored
from hangworthy.intake import BadInput
from hangworthy.sheets.again import Again, told
from hangworthy.sheets.content import chosen
from hangworthy.sheets.document import PAPERS, Document, Paper, document
from hangworthy.sheets.printer import PrinterBusyError, PrintingFailedError
from hangworthy.sheets.printing import can_print

PDF, HTML = "application/pdf", "text/html"
_VARY = "Accept, Accept-Language"
_ERASED = "Every work of this evaluation was erased; nothing is left to print."
_NO_WORK = "There is no such work in this evaluation, or it was erased."


@get(PATH + "/{id:str}/sheet", needs=READ)
async def show_sheet(request: AnyRequest) -> Response[bytes]:
    """Show the preparation sheets of a recorded evaluation."""
    given = query(request, format=choice("html", "pdf"), lang=choice(*LANGUAGES), paper=choice(*PAPERS), work=_ref)
    language, paper, kind = _language(request, given), _paper(given), _kind(request, given)
    one = await stored(request, path_id(request))
    made = await asyncio.to_thread(_made, service_of(request), one, await _asker(service_of(request), one), given["work"], language, paper)
    headers = {"etag": etag_of(kind.encode() + made.html.encode()), "vary": _VARY, "content-language": language}
    if names_tag(request.headers.get("if-none-match", ""), headers["etag"], weak=True):
        return Response(b"", status_code=304, headers=headers)  # before anything is printed for somebody who has it
    if kind == HTML:
        return Response(made.html.encode(), media_type=MediaType.HTML, headers={**headers, "content-security-policy": made.policy})
    headers["content-disposition"] = f'inline; filename="sheet-{one.id}.pdf"'
    return Response(await _printed(service_of(request), made), media_type=PDF, headers=headers)


def _paper(given: Mapping[str, Any]) -> Paper:
    return next((one for one in PAPERS if one == given["paper"]), PAPERS[0])


def _ref(name: str, text: str) -> str:
    if not 0 < len(text) <= LONGEST_REF:
        raise ValueError(f"The query parameter {name} must be a work's ref, of 1 to {LONGEST_REF} characters.")
    return text


def _language(request: AnyRequest, given: Mapping[str, Any]) -> LanguageCode:
    """Return the language asked for: in the query, else the one that the reader's browser likes best, else English."""
    text = given["lang"] or best_of(request.headers.get("accept-language", ""), LANGUAGES)
    return "de" if text == "de" else "en"


def _kind(request: AnyRequest, given: Mapping[str, Any]) -> str:
    """Return the media type to answer with. Raises Refused where none that is accepted can be made."""
    wish = given["format"]
    if wish is not None:
        kind: str | None = PDF if wish == "pdf" else HTML
    else:
        offered = (HTML, PDF) if can_print() else (HTML,)
        header = request.headers.get("accept", "") or "*/*"
        kind = best_of(header, offered)
        if kind is None and best_of(header, (PDF,)):
            kind = PDF
    if kind is None:
        raise Refused(NOT_ACCEPTABLE, NOT_ACCEPTABLE.advice)
    if kind == PDF and not can_print():
        raise Refused(NO_PDF, NO_PDF.advice)
    return kind


async def _asker(service: Service, one: Stored) -> Evaluator | None:
    """Return the evaluator of the venue as it was, or None where today's packs cannot use it: the sheet then has no drawings."""
    try:
        return await evaluator_of(service, one, stored_version=True)
    except Refused:
        return None


def _made(service: Service, one: Stored, evaluator: Evaluator | None, ref: str | None, language: LanguageCode, paper: Paper) -> Document:
    """Return the document. Raises Refused for a work that is not there, and for more works than one document takes."""
    answer, sent = msgspec.json.decode(one.answer, type=Evaluation), msgspec.json.decode(one.request)["works"]
    if not answer.works:
        raise Refused(NOT_FOUND, _ERASED)
    told_ = told(answer, sent, None if evaluator is None else _again(service, one, evaluator, language), language)
    works = chosen(told_, ref)
    if not works:
        raise Refused(NOT_FOUND, _NO_WORK)
    if len(works) > MOST_SHEETS:
        raise bad_query("work", f"This evaluation holds {len(works)} works; say which with work=, since one document takes {MOST_SHEETS}.")
    return document(told_, works, language, paper)


def _again(service: Service, one: Stored, evaluator: Evaluator, language: LanguageCode) -> Again | None:
    """Ask the stored request again in a language, or return None where today's packs no longer read it."""
    speaking = evaluator.speaking(language).on(day_of(one.at))
    try:
        request = service.book.view_of_one(one.venue, speaking).intake.read(one.request)
        return Again(speaking, request.works, speaking.evaluate(request.works, request.stage))
    except (BadInput, BadWorks):
        return None


async def _printed(service: Service, made: Document) -> bytes:
    try:
        return await service.printer.pdf(made.html)
    except PrinterBusyError as busy:
        raise Refused(UNAVAILABLE, "Enough sheets are being printed just now.", headers={"retry-after": str(busy.retry_after)}) from None
    except PrintingFailedError:
        raise Refused(
            UNAVAILABLE, "The sheet could not be printed. Ask for fewer works, or for HTML.", headers={"retry-after": "60"}
        ) from None
