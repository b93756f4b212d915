"""schemathesis against a service that really runs: every phase, all checks on, requests that keep the document and that break it.

Its own engine is used rather than its plug-in for pytest: the engine also runs the examples, the coverage of each constraint and
the links, in one bounded run.
"""

from collections.abc import Iterator
from typing import Any

import jsonschema
import pytest
import schemathesis
from schemathesis.engine import events, from_schema

from api.serving import STORES, Clock, installed_app, running
from hangworthy.intake import wire_schema

SECONDS, BUSY_SECONDS = 45, 180  # a busy machine gets less far in the same time, and is given more
CALLS, PHASES = 200, {"EXAMPLES", "COVERAGE", "FUZZING", "STATEFUL_TESTING"}
EXAMPLES = 25

# A text may keep the schema and still be no quantity, no wall or venue of this service, or a ref given twice, and an amount may have more
# decimals than its currency: a schema cannot say it.
# So 422 is allowed beside the codes that are allowed anyway, and `check_refusal` below holds such a refusal to exactly these reasons.
# A precondition (412, 428) and a moment that a zone takes out of the calendar (422) are beyond a schema as well.
EXPECTED_OF_POSITIVE = ["2xx", "304", "401", "403", "404", "409", "412", "422", "428"]

# A venue is only read once the version that it changes was stated.
EXPECTED_OF_NEGATIVE = ["400", "401", "403", "404", "405", "406", "409", "412", "415", "422", "428"]


@schemathesis.serializer("application/jsonl")
def as_lines(ctx: Any, value: Any) -> bytes:
    """Send lines as they were made; schemathesis knows no JSON Lines."""
    return value if isinstance(value, bytes) else str(value).encode()


SCHEMA = installed_app().state.service.catalogue.schema
WIRE = wire_schema(SCHEMA.request)
AMOUNTS = tuple(slot.pointer for slot in SCHEMA.slots if slot.kind == "money")


@pytest.fixture(scope="module", params=sorted(STORES))
def address(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The service with a history, so that what is recorded can be followed by the links."""
    history = STORES[request.param](tmp_path_factory.mktemp("store"), Clock())
    with running(installed_app(history)) as where:
        yield where


def at(body: Any, pointer: str) -> Any:
    """Return what stands at a pointer; None for what is not there."""
    for step in pointer.split("/")[1:]:
        try:
            body = body[int(step)] if isinstance(body, list) else body[step]
        except (KeyError, TypeError, IndexError):
            return None
    return body


@schemathesis.check
def check_refusal(ctx: schemathesis.CheckContext, response: schemathesis.Response, case: schemathesis.Case) -> bool | None:
    """A body that keeps the schema is refused only for a text, or for the decimals of an amount, which hang on its currency."""
    if case.operation.path != "/evaluations" or response.status_code != 422 or response.json()["type"] != "/problems/invalid-facts":
        return None
    if not jsonschema.Draft202012Validator(WIRE).is_valid(case.body):
        return None
    for error in response.json()["errors"][:100]:  # a last one may only say how many more there are
        decimals = isinstance(at(case.body, error["pointer"]), float) and error["pointer"].endswith(AMOUNTS)
        assert decimals or isinstance(at(case.body, error["pointer"]), str), error
    return None


def asked_for(address: str, seconds: int) -> tuple[list[str], set[str], int]:
    """What failed in so much time, the phases that were gone through, and how many requests were made."""
    config = schemathesis.Config.from_dict(
        {
            "max-time": seconds,
            "seed": 20260331,
            "generation": {"max-examples": EXAMPLES},
            "checks": {
                "positive_data_acceptance": {"expected-statuses": EXPECTED_OF_POSITIVE},
                "negative_data_rejection": {"expected-statuses": EXPECTED_OF_NEGATIVE},
                # A name “.” is taken out of the address by the client itself, so that another route answers, with its own methods.
                # tests/api/test_service.py asks every path for its Allow.
                "allow_header_conformance": {"enabled": False},
            },
        }
    )
    document = schemathesis.openapi.from_url(f"{address}/openapi.json", config=config)
    failures, phases, calls = list[str](), set[str](), 0
    for event in from_schema(document).execute():
        if isinstance(event, events.NonFatalError | events.FatalError):
            failures.append(str(event.info if isinstance(event, events.NonFatalError) else event.exception))
        if isinstance(event, events.ScenarioFinished):
            phases.add(event.phase.name)
            calls += len(event.recorder.interactions)
            for checks in event.recorder.checks.values():
                failures += [
                    f"{event.label}: {one.name}: {one.failure_info.failure}\n{one.failure_info.code_sample}"
                    for one in checks
                    if one.failure_info
                ]
    return failures, phases, calls


@pytest.mark.timeout(600)
def test_the_service_keeps_its_document(address: str) -> None:
    failures, phases, calls = asked_for(address, SECONDS)
    if not failures and (calls <= CALLS or phases != PHASES):
        failures, phases, calls = asked_for(address, BUSY_SECONDS)
    assert not failures, "\n".join(sorted(set(failures))[:10])
    assert calls > CALLS
    assert phases == PHASES
