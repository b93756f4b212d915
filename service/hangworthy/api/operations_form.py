"""The operation of forms as the OpenAPI document states it."""

from hangworthy.api.access import EVALUATE
from hangworthy.api.operation_parts import NAME, Json, get, parameter
from hangworthy.api.problems import NOT_FOUND
from hangworthy.contract.effect import Stage
from hangworthy.contract.languages import LANGUAGES

_ABOUT = (
    "One JSON Schema (2020-12) of a work, made for whoever draws a form: it takes what POST /evaluations takes as a work. Beside the "
    "standard words, x-groups lists the facts in the order to ask them (by stage due, by who is asked, by section); at each fact x-prompt "
    "and x-how say what to ask and how to measure, x-unit and x-units-accepted how to write it, x-when for which works it matters (any of "
    "these, each with all of its facts), x-due from which stage on, x-private what no log may hold. The same conditions stand under allOf "
    "as if and then: an evaluator that collects annotations finds x-matters at each fact that concerns the work at hand."
)


def form_paths() -> Json:
    """Return the paths of forms."""
    parameters = (
        parameter("venue", "query", "The venue that the works are offered to; without it, the default venue.", NAME),
        parameter("lang", "query", "The language of titles, prompts and labels; without it, en.", {"enum": list(LANGUAGES)}),
        parameter("stage", "query", "What is due by this stage makes the first group.", {"enum": [stage.value for stage in Stage]}),
        parameter("If-None-Match", "header", "The ETag of the form that is at hand; 304 when it is still the same.", {"type": "string"}),
    )
    made = get(
        "showForm", "Show what a form asks", _ABOUT, "Live", "Evaluation", NOT_FOUND.status,
        parameters=parameters, needs=EVALUATE, headers=("ETag", "Content-Language"),
    )  # fmt: skip
    made["responses"]["200"]["content"] = {"application/json": {"schema": {"type": "object"}}}
    made["responses"]["304"] = {"description": "The form at hand is still the same."}
    return {"/form": {"get": made}}
