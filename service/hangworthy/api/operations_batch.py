"""The operation on batches, as the OpenAPI document states it."""

from typing import Any

from hangworthy.api.access import EVALUATE
from hangworthy.api.bounds import LONGEST_BATCH_KEY, key_pattern
from hangworthy.api.operation_parts import ID, IDEMPOTENCY, NAME, RECORD, Json, access, parameter, responses, schema
from hangworthy.contract.effect import Stage
from hangworthy.contract.languages import LANGUAGES

_LINE = (
    "Each line is a work, a list of works or a whole request as /evaluations takes it. Set rules compare the works of one line only: put "
    "works that are to be compared into one line. Blank lines are passed over; a byte order mark at the start and a missing newline at "
    "the end do no harm. A line is bounded as a body of /evaluations is; their number is not bounded."
)
_ANSWER = (
    'One line for each line that is not blank, in the same order: {"line": 3, "evaluation": {…}} (BatchAnswer), or {"line": 3, '
    '"problem": {…}} (BatchProblem) for one that cannot be answered; the others are answered all the same. A body that breaks off '
    "without the end of its chunks is not whole."
)
_ASKED = (
    "Lines of works in, lines of answers out, streamed: answers come while lines are still sent, and each is there before more than a few "
    "further lines are read. Read while you send. A client that reads nothing before it has sent everything is answered too, as long as "
    "no more than about 256 MiB of lines wait. Each answer is that of /evaluations, recorded in the same way. With an Idempotency-Key each "
    "line has its own key, made of it and of the line's number, so that the same file sent again is recorded once. When the service is "
    "stopped the last line is a problem with status 503 that says with which line to go on."
)
_DETAIL = parameter(
    "detail", "query", "full, as without it; or brief, without the findings that nobody has to act on.", {"enum": ["full", "brief"]}
)


def evaluate_batch() -> Json:
    """Return the operation."""
    stage = parameter("stage", "query", "The stage of lines that name none.", {"type": "string", "enum": [*map(str, Stage)]})
    venue = parameter("venue", "query", "The venue of lines that name none.", NAME)
    language = parameter("lang", "query", "The language of lines that name none.", {"type": "string", "enum": [*LANGUAGES]})
    key = {**IDEMPOTENCY, "schema": {**IDEMPOTENCY["schema"], "pattern": key_pattern(LONGEST_BATCH_KEY)}}
    answers = {**_lines(_ANSWER), "x-item-schema": {"oneOf": [schema("BatchAnswer"), schema("BatchProblem")]}}
    asked = {**_lines(_LINE), "x-item-schema": {"oneOf": [schema("Work"), schema("EvaluationRequest")]}}
    body: Json = {"required": True, "description": "JSON Lines.", "content": {"application/jsonl": {"schema": asked}}}
    return {
        "operationId": "evaluateBatch",
        "summary": "Evaluate lines of works",
        "description": _ASKED,
        "tags": ["Evaluation"],
        "parameters": [RECORD, stage, venue, language, _DETAIL, key, ID],
        "requestBody": body,
        "responses": responses("The answers, a line each.", {"application/jsonl": {"schema": answers}}, 401, 403, 415, 422),
        **access(EVALUATE),
    }


def _lines(description: str) -> dict[str, Any]:
    return {"type": "string", "format": "binary", "description": description}
