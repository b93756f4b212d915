"""The controller of forms: one JSON Schema per venue, language and stage, made when it is first asked for."""

import asyncio

import msgspec
from litestar import Response, get

from hangworthy.api.access import EVALUATE
from hangworthy.api.core import Service
from hangworthy.api.queries import choice, query, words
from hangworthy.api.requests import AnyRequest, evaluator_asked, json_answer, service_of
from hangworthy.contract.effect import Stage
from hangworthy.contract.languages import DEFAULT_LANGUAGE, LANGUAGES
from hangworthy.engine.evaluate import Evaluator
from hangworthy.forms import form_schema

PATH = "/form"
MOST_KEPT = 64


@get(PATH, needs=EVALUATE, public=True)
async def show_form(request: AnyRequest) -> Response[bytes]:
    """Give the form of a venue."""
    given = query(request, venue=words, lang=choice(*LANGUAGES), stage=choice(*Stage))
    language, stage = given["lang"] or DEFAULT_LANGUAGE, given["stage"]
    evaluator = evaluator_asked(request, given)
    content = await asyncio.to_thread(_made, service_of(request), evaluator, language, stage)
    return json_answer(content, headers={"content-language": language})


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
