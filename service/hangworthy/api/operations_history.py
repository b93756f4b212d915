"""The operations of the API that need a history, as the OpenAPI document states them."""

from hangworthy.api.access import ADMIN, CHANGE_VENUES, READ, SEE_VERSIONS
from hangworthy.api.bounds import LONGEST_REF, LONGEST_TEXT, MOST_ITEMS, MOST_SHEETS, USUAL_ITEMS, VENUE_VERSIONS
from hangworthy.api.operation_parts import ID, NAME, NOT_DOTS, Json, access, get, link, parameter, responses, schema
from hangworthy.contract.effect import Outcome, Stage
from hangworthy.contract.languages import LANGUAGES
from hangworthy.sheets.document import PAPERS

_UUID: Json = {"type": "string", "format": "uuid", "pattern": "^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$"}
_TEXT: Json = {"type": "string", "minLength": 1, "maxLength": LONGEST_TEXT, "pattern": r"^[^\u0000]+$"}
_MOMENT: Json = {"type": "string", "format": "date-time"}
_REF: Json = {"type": "string", "minLength": 1, "maxLength": LONGEST_REF, "pattern": NOT_DOTS}


def history_paths() -> Json:
    """Return the paths."""
    return {
        "/evaluations": {"get": _list()},
        "/evaluations/{id}": {"get": _show()},
        "/evaluations/{id}/changes": {"get": _changes()},
        "/evaluations/{id}/replay": {"post": _replay()},
        "/evaluations/{id}/sheet": {"get": _sheet()},
        "/venues/{name}": {"put": _keep()},
        "/venues/{name}/versions": {"get": _versions()},
        "/works/{ref}": {"delete": _erase()},
        "/works/{ref}/history": {"get": _life()},
    }


_ID_IN_PATH = parameter("id", "path", "The evaluation's id.", {"type": "string", "minLength": 1})
_REF_IN_PATH = parameter("ref", "path", "The work's ref.", _REF)
_NAME_IN_PATH = parameter("name", "path", "The venue's name.", {**NAME, "pattern": NOT_DOTS})
_LIMIT = parameter(
    "limit", "query", f"The most items of a page; {USUAL_ITEMS} without it.", {"type": "integer", "minimum": 1, "maximum": MOST_ITEMS}
)  # fmt: skip
_AFTER = parameter("after", "query", "Only what is older than this evaluation; the header Link states it.", _UUID)


def _list() -> Json:
    filters = (
        parameter("venue", "query", "Only those at this venue.", _TEXT),
        parameter("artist_ref", "query", "Only those with a work of this artist, by the programme's reference.", _TEXT),
        parameter("ref", "query", "Only those with this work.", _TEXT),
        parameter("outcome", "query", "Only those with this outcome.", {"type": "string", "enum": [*map(str, Outcome)]}),
        parameter("stage", "query", "Only those at this stage.", {"type": "string", "enum": [*map(str, Stage)]}),
        parameter(
            "unmet",
            "query",
            "Only those with a work that did not meet this rule; one that is neither installed nor kept is refused.",
            _TEXT,
        ),
        parameter("pack", "query", "Only those that this pack answered; one that is neither installed nor kept is refused.", _TEXT),
        parameter("pack_version", "query", "Only those that a pack of this version answered.", _TEXT),
        parameter("since", "query", "Only those from this moment on.", _MOMENT),
        parameter("until", "query", "Only those before this moment.", _MOMENT),
        parameter("before", "query", "Only what is newer than this evaluation; not together with after.", _UUID),
    )
    description = "Newest first, in pages: the header Link leads to the next (older) and the previous (newer) one. Filters narrow together."
    made = get(
        "listEvaluations", "List recorded evaluations", description, "EvaluationList", "History", 404,
        parameters=(*filters, _AFTER, _LIMIT), needs=READ, headers=("Link",),
    )  # fmt: skip
    made["responses"]["200"]["links"] = {
        "newest": link("showEvaluation", id="$response.body#/items/0/id"),
        "older": link("listEvaluations", after="$response.body#/items/0/id"),
    }
    return made


def _show() -> Json:
    description = "The answer as it was given, to the byte, without the works that were erased since."
    return get(
        "showEvaluation", "Show a recorded evaluation", description, "Evaluation", "History", 404, parameters=(_ID_IN_PATH,), needs=READ
    )  # fmt: skip


def _changes() -> Json:
    since = parameter("since", "query", "The earlier evaluation.", _UUID) | {"required": True}
    description = (
        "For each work: facts by pointer, findings by rule, questions by fact, each given, gone or changed, with what was before and after."
    )
    return get(
        "showChanges", "Show what changed between two evaluations", description, "ChangesAnswer", "History", 404,
        parameters=(_ID_IN_PATH, since), needs=READ,
    )  # fmt: skip


def _replay() -> Json:
    version = parameter(
        "venue_version", "query", "Ask at the venue as it is (current, without it) or as it was (stored).", {"enum": VENUE_VERSIONS}
    )
    description = (
        "Asks what was sent then under the packs of today, and tells what would be decided otherwise and which rule and limit make the "
        "difference. With the same packs and venue the answer is the same to the byte but for its time. Nothing is recorded."
    )
    return get(
        "replayEvaluation", "Ask a recorded evaluation again", description, "ReplayAnswer", "History", 404, 409,
        parameters=(_ID_IN_PATH, version), needs=READ, volatile=True,
    )  # fmt: skip


def _sheet() -> Json:
    form = parameter("format", "query", "What to answer with, whatever Accept says.", {"type": "string", "enum": ["html", "pdf"]})
    lang = parameter(
        "lang", "query", "The language; without it, what Accept-Language likes best.", {"type": "string", "enum": [*LANGUAGES]}
    )
    paper = parameter("paper", "query", "The size of paper; a4 without it.", {"type": "string", "enum": [*PAPERS]})
    work = parameter("work", "query", f"Only this work, by its ref; needed where there are more than {MOST_SHEETS}.", _REF)
    description = (
        "Two pages for each work. For the artist: what is fine, what to do before drop-off in which order, what we do, by when, what is "
        "still asked. For the bench: measured values, limits, margins, sources, and boxes to fill in at arrival. With drawings to scale. "
        "As HTML without scripts, or as tagged PDF. Figures and states are those that were stored; sentences in another language than the "
        "stored one come from today's packs, where these answer the same."
    )
    made = get(
        "showSheet", "Show preparation sheets", description, "Live", "History", 404, 406, 501,
        parameters=(_ID_IN_PATH, form, lang, paper, work), needs=READ,
    )  # fmt: skip
    binary: Json = {"type": "string", "format": "binary"}
    made["responses"]["200"]["content"] = {"text/html": {"schema": {"type": "string"}}, "application/pdf": {"schema": binary}}
    return made


def _life() -> Json:
    description = "Every recorded evaluation of the work, newest first; the header Link leads to older ones."
    made = get(
        "showLife", "Show the life of a work", description, "MomentList", "History", 404,
        parameters=(_REF_IN_PATH, _AFTER, _LIMIT), needs=READ, headers=("Link",),
    )  # fmt: skip
    made["responses"]["200"]["links"] = {
        "change": link("showChanges", id="$response.body#/items/0/id", since="$response.body#/items/1/id")
    }  # fmt: skip
    return made


def _erase() -> Json:
    description = (
        "Takes the work's facts, findings and names out of every evaluation, for good, and leaves digests, so that counts still add up. "
        "What other works were told beside it is kept without its sentences; plans that name it are dropped."
    )
    return get(
        "eraseWork", "Erase a work", description, "ErasedAnswer", "History", 404, 507,
        parameters=(_REF_IN_PATH,), needs=ADMIN, volatile=True,
    )  # fmt: skip


def _versions() -> Json:
    description = "Newest first, with the time, the key that made it and the ETag of each."
    made = get(
        "listVersions", "List the versions of a venue", description, "VersionList", "Venues", 404,
        parameters=(_NAME_IN_PATH,), needs=SEE_VERSIONS,
    )  # fmt: skip
    made["responses"]["200"]["links"] = {
        "oldest": link("showVenue", name="$response.body#/venue", version="$response.body#/items/0/version")
    }  # fmt: skip
    return made


_KEEP = (
    "Takes what a venue's file holds, as JSON; it is only accepted whole, and every fault is listed with its pointer. It is in force at "
    "once, and earlier versions stay readable. A body that changes nothing makes no version."
)


def _keep() -> Json:
    match = parameter("If-Match", "header", "To change a venue: the ETag of the version that the change was made from.", {"type": "string"})
    none_match = parameter("If-None-Match", "header", "To make a new venue: *, so that none is overwritten.", {"type": "string"})
    content = {"application/json": {"schema": schema("VenueAnswer")}}
    problems = (401, 403, 404, 412, 413, 415, 422, 428, 507)
    made = responses("The next version, in force.", content, *problems, headers=("ETag",))
    new = responses("The first version, in force.", content, success=201, headers=("ETag",))["201"]
    return {
        "operationId": "keepVenue",
        "summary": "Keep a venue",
        "description": _KEEP,
        "tags": ["Venues"],
        "parameters": [_NAME_IN_PATH, match, none_match, ID],
        "requestBody": {
            "required": True, "description": "The venue.", "content": {"application/json": {"schema": schema("VenueContent")}}
        },
        "responses": made | {"201": new},
        **access(CHANGE_VENUES),
    }  # fmt: skip
