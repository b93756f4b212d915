"""The controller of the script that puts hints into forms."""

from litestar import Response, get

from hangworthy.api.access import ANYBODY
from hangworthy.api.queries import query
from hangworthy.api.requests import AnyRequest, service_of

MEDIA_TYPE = "text/javascript"
# Any page may load it, also with integrity= and crossorigin=, and from behind a policy that isolates it (Fetch standard: CORS, CORP).
_FOR_ANY_PAGE = {
    "access-control-allow-origin": "*",
    "cross-origin-resource-policy": "cross-origin",
    "cache-control": "public, max-age=600, stale-while-revalidate=86400",
}


@get("/form/hints.js", sync_to_thread=False, needs=ANYBODY)
def show_hints(request: AnyRequest) -> Response[bytes]:
    """Serve the script that puts hints into a form."""
    query(request)
    return Response(service_of(request).hints, media_type=MEDIA_TYPE, headers=_FOR_ANY_PAGE)
