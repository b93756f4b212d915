"""The controller of readings: free text in, facts out; nothing is kept."""

import asyncio

from litestar import Response, post

from hangworthy.api.access import EVALUATE
from hangworthy.api.answers import ReadingsAnswer
from hangworthy.api.core import LARGE, Service, encoded
from hangworthy.api.problems import refusal_of
from hangworthy.api.queries import query
from hangworthy.api.requests import AnyRequest, check_media_type, json_answer, service_of
from hangworthy.contract.languages import DEFAULT_LANGUAGE
from hangworthy.intake import BadInput, read_lines

PATH = "/readings"


@post(PATH, needs=EVALUATE, status_code=200)
async def read_texts(request: AnyRequest) -> Response[bytes]:
    """Read one to 500 lines of dimensions, medium and edition."""
    query(request)
    check_media_type(request)
    service, body = service_of(request), await request.body()
    try:
        answer = await asyncio.to_thread(_read, service, body) if len(body) > LARGE else _read(service, body)
    except BadInput as bad:
        raise refusal_of(bad) from None
    return json_answer(answer)


def _read(service: Service, body: bytes) -> bytes:
    asked = read_lines(body)
    written = service.written(asked.language or DEFAULT_LANGUAGE)
    told = written.language
    return encoded(ReadingsAnswer(tuple(map(written.read, asked.lines)), told.told, told.fingerprint))
