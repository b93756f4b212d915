"""The controllers of the demo's form: somebody else's, as it was and with hints put into it. Only there with ``serve --demo``."""

from typing import Any

from litestar import MediaType, Response, get, post

from hangworthy.api.access import ANYBODY
from hangworthy.api.queries import query
from hangworthy.api.requests import AnyRequest
from hangworthy.demo import demo_form

# As strict as a careful owner's: nothing inline, nothing from elsewhere, no text that becomes a script (Content Security Policy, level 3).
_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; "
    "frame-ancestors 'none'; require-trusted-types-for 'script'"
)


def _page(name: str) -> Response[bytes]:
    return Response(demo_form(name), media_type=MediaType.HTML, headers={"content-security-policy": _POLICY})


@get("/demo", sync_to_thread=False, needs=ANYBODY)
def show_form(request: AnyRequest) -> Response[bytes]:
    """Show the form with hints."""
    query(request)
    return _page("form.html")


@get("/demo/plain", sync_to_thread=False, needs=ANYBODY)
def show_plain_form(request: AnyRequest) -> Response[bytes]:
    """Show the form as it was."""
    query(request)
    return _page("plain.html")


@get("/demo/form.css", sync_to_thread=False, needs=ANYBODY)
def show_style(request: AnyRequest) -> Response[bytes]:
    """Give the form its look."""
    query(request)
    return Response(demo_form("form.css"), media_type=MediaType.CSS)


@post("/demo/sent", status_code=200, sync_to_thread=False, needs=ANYBODY)
def thank(request: AnyRequest) -> Response[bytes]:
    """Thank for a form that was sent. What is in it is not even read."""
    query(request)
    return _page("sent.html")


DEMO_HANDLERS: list[Any] = [show_form, show_plain_form, show_style, thank]
