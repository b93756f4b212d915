"""The script for forms, as the OpenAPI document states it."""

from hangworthy.api.access import ANYBODY
from hangworthy.api.operation_parts import Json, get


def hints_operation() -> Json:
    """Return the operation as the document states it."""
    about = "A script of under 10 KiB that an existing form takes up with one line; it shows at each field what the evaluation says of it."
    made = get("showHints", "Serve the script for forms", about, "Live", "Evaluation", needs=ANYBODY)
    made["responses"]["200"]["content"] = {"text/javascript": {"schema": {"type": "string"}}}
    return made
