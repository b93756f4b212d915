"""The script for forms, as the OpenAPI document states it."""

from hangworthy.api.access import ANYBODY
from hangworthy.api.operation_parts import Json, get, parameter


def hints_operation() -> Json:
    """Return the operation as the document states it."""
    match = parameter("If-None-Match", "header", "ETags that you have; 304 says that one is still right.", {"type": "string"})
    about = "A script of under 10 KiB that an existing form takes up with one line; it shows at each field what the evaluation says of it."
    made = get(
        "showHints", "Serve the script for forms", about, "Live", "Evaluation", parameters=(match,), needs=ANYBODY, headers=("ETag",)
    )  # fmt: skip
    made["responses"]["200"]["content"] = {"text/javascript": {"schema": {"type": "string"}}}
    made["responses"]["304"] = {"description": "It is as you have it.", "headers": made["responses"]["200"]["headers"]}
    return made
