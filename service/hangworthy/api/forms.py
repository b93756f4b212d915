"""The controller of forms: one JSON Schema per venue, language and stage, made when it is first asked for."""

import asyncio

import msgspec
from litestar import Response, get

from hangworthy.api.access import EVALUATE
from hangworthy.api.core import Service
from hangworthy.api.problems import NOT_FOUND, Refused
from hangworthy.api.requests import AnyRequest, bad_query, caller_of, json_answer, query, read_choice, service_of
from hangworthy.contract.effect import Stage
from hangworthy.contract.languages import DEFAULT_LANGUAGE, LANGUAGES
from hangworthy.engine.evaluate import Evaluator
from hangworthy.engine.reading import nearest
from hangworthy.forms import form_schema
from hangworthy.intake.faults import quote

PATH = "/form"
MOST_KEPT = 64


@get(PATH, needs=EVALUATE, public=True)
async def show_form(request: AnyRequest) -> Response[bytes]:
    """Give the form of a venue."""
    given = query(request, "venue", "lang", "stage")
    language = read_choice(given, "lang", [*LANGUAGES]) or DEFAULT_LANGUAGE
    stage = read_choice(given, "stage", [*Stage])
    evaluator = _evaluator(request, given.get("venue"))
    content = await asyncio.to_thread(_made, service_of(request), evaluator, language, stage)
    return json_answer(content, headers={"content-language": language})


def _evaluator(request: AnyRequest, name: str | None) -> Evaluator:
    """Return the venue's evaluator. Raises Refused for one that is not there for the caller."""
    view = service_of(request).book.view(caller_of(request).venues)
    wanted = view.default if name is None else name
    if wanted is None:
        raise bad_query("Name the venue with venue=; see /venues.")
    if wanted not in view.evaluators:
        raise Refused(NOT_FOUND, f"There is no venue {quote(wanted)}.{nearest(wanted, list(view.evaluators)) or ' See /venues.'}")
    return view.evaluators[wanted]


def _made(service: Service, evaluator: Evaluator, language: str, stage: str | None) -> bytes:
    """Return the form as JSON; the last ones are kept, each for one version of its venue."""
    venue = evaluator.ruleset.venue
    key = (venue.name, venue.version, venue.fingerprint, language, stage or "")
    found = service.forms.get(key)
    if found is None:
        ruleset = evaluator.speaking(language).ruleset
        found = msgspec.json.encode(form_schema(ruleset, None if stage is None else Stage(stage)))
        if len(service.forms) >= MOST_KEPT:
            service.forms.clear()
        service.forms[key] = found
    return found
