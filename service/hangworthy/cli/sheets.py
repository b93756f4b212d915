"""hangworthy sheet: preparation sheets of a file's works, without a server."""

import argparse
import sys
from pathlib import Path
from typing import Any

import msgspec

from hangworthy.cli.commands import BAD, OK, CommandError, catalogue_of, complain
from hangworthy.cli.inputs import InputError, Reading, Submission, read_all
from hangworthy.cli.submissions import Checker
from hangworthy.contract.effect import Stage
from hangworthy.contract.finding import Evaluation
from hangworthy.contract.languages import DEFAULT_LANGUAGE
from hangworthy.engine.languages import choices_of, titles_of, with_languages
from hangworthy.settings import Settings
from hangworthy.sheets.again import Again, told
from hangworthy.sheets.content import chosen
from hangworthy.sheets.document import document

NO_PDF = "this needs what prints PDF: pip install 'hangworthy[pdf]'; or write an .html file, and print it from a browser."


def sheet(arguments: argparse.Namespace, settings: Settings) -> int:
    """Evaluate one file and write its works' sheets."""
    output = Path(arguments.output)
    if output.suffix.lower() not in (".html", ".pdf"):
        raise CommandError(f"--output must end in .html or .pdf, and “{output.name}” does not.")
    catalogue = catalogue_of(settings)
    if arguments.lang != DEFAULT_LANGUAGE:
        catalogue = with_languages(catalogue, tolerate=settings.on_fault == "report")
    checker = Checker(catalogue, settings, arguments.venue)
    try:
        how = Reading(settings.max_body_bytes, say=complain, titles=lambda: titles_of(catalogue), choices=lambda: choices_of(catalogue))
        submissions = read_all([arguments.file], catalogue.schema, sys.stdin.buffer, how)
        evaluations = list(checker.evaluate_all(submissions, Stage(arguments.stage) if arguments.stage else None, arguments.lang))
    except InputError as bad:
        complain(str(bad))
        return BAD
    html = _html(arguments, checker, submissions[0], evaluations[0])
    content = html.encode() if output.suffix.lower() == ".html" else _pdf(html)
    output.write_bytes(content)
    return OK


def _html(arguments: argparse.Namespace, checker: Checker, submission: Submission, answer: Evaluation) -> str:
    request = submission.request
    sent: list[dict[str, Any]] = [msgspec.to_builtins(work) for work in request.works]
    evaluator = checker.evaluator(answer.venue.name).speaking(arguments.lang)
    again = Again(evaluator, request.works, answer)
    made = told(answer, sent, again, arguments.lang)
    works = chosen(made, arguments.work)
    if not works:
        refs = ", ".join(work.ref for work in answer.works[:10])
        raise CommandError(f"there is no work “{arguments.work[:80]}” in the file; there are: {refs}.")
    return document(made, works, arguments.lang, arguments.paper).html


def _pdf(html: str) -> bytes:
    from hangworthy.sheets.printing import can_print, pdf_of

    if not can_print():
        raise CommandError(NO_PDF)
    return pdf_of(html)
