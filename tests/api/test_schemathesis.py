"""schemathesis against a service that really runs: every phase, all checks on, requests that keep the document and that break it.

Its own engine is used rather than its plug-in for pytest: the engine also runs the examples, the coverage of each constraint and
the links, in one run, bounded by its work and not by the time that it takes, so that it does the same on a busy machine.

The coverage of every constraint is thousands of requests, most of them about a fact of a work, which five addresses take. The stores share
them out: each answers every third request of an address, and the three together answer all. Works to be planned are asked about with a few
of their facts, since the reader of a work is one, and is covered by those to be evaluated.
"""

import itertools
from collections import Counter, defaultdict
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import httpx
import jsonschema
import pytest
import schemathesis
from schemathesis.engine import events, from_schema
from schemathesis.generation.meta import TestPhase

from api.serving import STORES, Clock, installed_app, running
from hangworthy.intake import wire_schema

EXAMPLES = 6  # of each operation, when fuzzed
CHAINS, STEPS = 10, 6  # how often links are followed, and how far
PLANS = {"FramePlanRequest": "works", "WallPlanRequest": "works", "ReplacementRequest": "candidates"}
OF_A_PLANNED_WORK = ("ref", "kind", "width_mm", "height_mm", "framed", "price", "currency", "hang_from", "hang_until")
MOST_SECONDS = 800  # for safety alone: what is bounded is the work

# A text may keep the schema and still be no quantity, no wall or venue of this service, or a ref given twice: a schema cannot say it.
# So 422 is allowed beside the codes that are allowed anyway, and `check_refusal` below holds such a refusal to exactly these reasons.
# A precondition (412, 428) and a moment that a zone takes out of the calendar (422) are beyond a schema as well.
EXPECTED_OF_POSITIVE = ["2xx", "304", "401", "403", "404", "409", "412", "422", "428"]

# A venue is only read once the version that it changes was stated.
EXPECTED_OF_NEGATIVE = ["400", "401", "403", "404", "405", "406", "409", "412", "415", "422", "428"]


@schemathesis.serializer("application/jsonl")
def as_lines(ctx: Any, value: Any) -> bytes:
    """Send lines as they were made; schemathesis knows no JSON Lines."""
    return value if isinstance(value, bytes) else str(value).encode()


WIRE = wire_schema(installed_app().state.service.catalogue.schema.request)


@pytest.fixture(params=sorted(STORES))
def store(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture
def address(store: str, tmp_path: Path) -> Iterator[str]:
    """The service with a history, so that what is recorded can be followed by the links."""
    with running(installed_app(STORES[store](tmp_path, Clock()))) as where:
        yield where


def part_of(store: str) -> Callable[[Any, schemathesis.Case], bool]:
    """Return what says of each request that covers a constraint whether this store is to answer it."""
    counts: defaultdict[str, itertools.count[int]] = defaultdict(itertools.count)
    turn = sorted(STORES).index(store)

    def chosen(context: Any, case: schemathesis.Case) -> bool:
        if case.meta is None or case.meta.phase.name != TestPhase.COVERAGE:
            return True
        number = next(counts[case.operation.label])
        return number % len(STORES) == turn

    return chosen


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
    """A body that keeps the schema is refused only for a text, and only for reasons that a schema cannot state."""
    if case.operation.path != "/evaluations" or response.status_code != 422 or response.json()["type"] != "/problems/invalid-facts":
        return None
    if not jsonschema.Draft202012Validator(WIRE).is_valid(case.body):
        return None
    for error in response.json()["errors"][:100]:  # a last one may only say how many more there are
        assert isinstance(at(case.body, error["pointer"]), str), error
    return None


def shorten(schemas: dict[str, Any]) -> None:
    """Let the works of plans have few facts; whatever keeps this keeps what the service states, and whatever breaks it breaks that."""
    whole = schemas["Work"]
    few = {name: whole["properties"][name] for name in OF_A_PLANNED_WORK}
    schemas["PlannedWork"] = {**whole, "properties": few}
    for name, works in PLANS.items():
        assert schemas[name]["properties"][works]["items"] == {"$ref": "#/components/schemas/Work"}
        schemas[name]["properties"][works]["items"] = {"$ref": "#/components/schemas/PlannedWork"}


@pytest.mark.timeout(900)
def test_the_service_keeps_its_document(address: str, store: str) -> None:
    config = schemathesis.Config.from_dict(
        {
            "base-url": address,
            "max-time": MOST_SECONDS,
            "seed": 20260331,
            "generation": {"max-examples": EXAMPLES},
            "phases": {"stateful": {"max-steps": STEPS, "generation": {"max-examples": CHAINS}}},
            "checks": {
                "positive_data_acceptance": {"expected-statuses": EXPECTED_OF_POSITIVE},
                "negative_data_rejection": {"expected-statuses": EXPECTED_OF_NEGATIVE},
                # A name “.” is taken out of the address by the client itself, so that another route answers, with its own methods.
                # tests/api/test_service.py asks every path for its Allow.
                "allow_header_conformance": {"enabled": False},
            },
        }
    )
    raw = httpx.get(f"{address}/openapi.json", timeout=60).json()
    shorten(raw["components"]["schemas"])
    # Bodies of 10,000 works and more take minutes to make; tests/plans/test_frames_service.py asks with too many.
    assert raw["components"]["schemas"]["FramePlanRequest"]["properties"]["works"].pop("maxItems") == 10_000
    document = schemathesis.openapi.from_dict(raw, config=config)
    document.hook("filter_case")(part_of(store))
    failures: list[str] = []
    calls: Counter[str] = Counter()
    for event in from_schema(document).execute():
        if isinstance(event, events.NonFatalError | events.FatalError):
            failures.append(str(event.info if isinstance(event, events.NonFatalError) else event.exception))
        if isinstance(event, events.ScenarioFinished):
            calls[event.phase.name] += len(event.recorder.interactions)
            for checks in event.recorder.checks.values():
                failures += [
                    f"{event.label}: {one.name}: {one.failure_info.failure}\n{one.failure_info.code_sample}"
                    for one in checks
                    if one.failure_info
                ]
    assert not failures, "\n".join(sorted(set(failures))[:10])
    least = {"EXAMPLES": 20, "COVERAGE": 1_000, "FUZZING": 150, "STATEFUL_TESTING": 30}
    assert not {phase: calls[phase] for phase in least | calls if calls[phase] < least.get(phase, 0)}
    assert set(calls) == set(least)
