"""A typed client that a generator makes of the document, without a patch and without a warning, used against the running service."""

import importlib
import io
import json
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from api.serving import Clock, installed_app, running, sql_store
from hangworthy.api.openapi import document, dump
from hangworthy.discovery import discover
from hangworthy.engine.catalogue import build_catalogue

NAME = "made_client"
# The generator knows no media type of lines of its own accord; its documentation (content_type_overrides) says how to name one.
CONFIG = '{"content_type_overrides": {"application/jsonl": "application/octet-stream"}}'


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    """The generated package; its parts are imported by ``made.get("api.evaluation.evaluate_works")``."""
    folder = tmp_path_factory.mktemp("client")
    (folder / "openapi.json").write_bytes(dump(document(build_catalogue(*discover()))))
    (folder / "config.json").write_text(CONFIG)
    command = [
        sys.executable, "-m", "openapi_python_client", "generate", "--path", "openapi.json", "--config", "config.json",
        "--output-path", NAME, "--meta", "none", "--fail-on-warning",
    ]  # fmt: skip
    environment = {"PATH": f"{Path(sys.executable).parent}:/usr/bin:/bin", "HOME": str(folder)}
    done = subprocess.run(command, cwd=folder, env=environment, capture_output=True, text=True, timeout=240)
    assert done.returncode == 0, done.stdout + done.stderr
    assert "arning" not in done.stdout + done.stderr
    sys.path.insert(0, str(folder))
    try:
        yield SimpleNamespace(get=lambda name: importlib.import_module(f"{NAME}.{name}"))
    finally:
        sys.path.remove(str(folder))
        for name in [name for name in sys.modules if name.startswith(NAME)]:
            del sys.modules[name]


@pytest.fixture(scope="module")
def client(made: Any, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    store = sql_store(f"sqlite:///{tmp_path_factory.mktemp('store')}/history.sqlite3", Clock())
    with running(installed_app(store)) as url, made.get("client").Client(base_url=url) as opened:
        yield opened


def request_of(made: Any, **facts: Any) -> Any:
    models = made.get("models")
    work = models.Work(ref="tide-7", kind=models.WorkKindType0.STRETCHED_CANVAS, **facts)
    return models.EvaluationRequest(works=[work], stage=models.Stage.OFFER)


def test_works_are_evaluated_recorded_read_and_listed(made: Any, client: Any) -> None:
    models, call = made.get("models"), made.get("api.evaluation.evaluate_works")
    canvas = models.Canvas(corner_gaps_mm=[0, 20, 0, 0], keyed=True)
    body = request_of(made, width_mm="63 in", height_mm=900, canvas=canvas)
    stateless = call.sync_detailed(client=client, body=body, record=models.EvaluateWorksRecord.FALSE)
    assert (stateless.status_code, type(stateless.parsed)) == (200, models.Evaluation)
    kept = call.sync_detailed(client=client, body=body, idempotency_key="one")
    assert kept.status_code == 201
    assert kept.parsed.works[0].outcome is models.Outcome.REPAIR
    finding = next(one for one in kept.parsed.works[0].findings if one.state.value == "unmet")
    assert finding.artist
    assert isinstance(finding.share, float)
    again = made.get("api.history.show_evaluation").sync(id=kept.parsed.id, client=client)
    assert again.to_dict() == kept.parsed.to_dict()
    listed = made.get("api.history.list_evaluations").sync(client=client, outcome=models.ListEvaluationsOutcome.REPAIR, limit=10)
    assert [one.id for one in listed.items] == [kept.parsed.id]
    life = made.get("api.history.show_life").sync(ref="tide-7", client=client)
    assert life.items[0].outcome.value == "repair"
    same = made.get("api.history.show_evaluation").sync_detailed(id=kept.parsed.id, client=client, if_none_match="*")
    assert (same.status_code, same.parsed) == (304, None)


def test_venues_rules_and_packs_are_read(made: Any, client: Any) -> None:
    venues = made.get("api.venues.list_venues").sync(client=client)
    assert {one.name for one in venues.items} == {"house", "annexe"}
    annexe = made.get("api.venues.show_venue").sync(name="annexe", client=client)
    assert annexe.walls["north"].width_mm == 3000.0
    assert annexe.frames[0].width_mm == 420.0
    packs = made.get("api.rules.list_packs").sync(client=client)
    limits = made.get("api.venues.list_limits").sync(client=client, venue="annexe")
    assert packs.items
    assert all(isinstance(one.value, float | int) for one in limits.items)


def test_problems_are_objects_too(made: Any, client: Any) -> None:
    models = made.get("models")
    refused = made.get("api.evaluation.evaluate_works").sync(client=client, body=request_of(made, width_mm="9 kg"))
    assert isinstance(refused, models.Problem)
    assert (refused.status, refused.errors[0].pointer) == (422, "/works/0/width_mm")
    missing = made.get("api.history.show_evaluation").sync(id="none", client=client)
    assert isinstance(missing, models.Problem)
    assert missing.type_ == models.ProblemType.NOT_FOUND


def test_lines_are_sent_and_read(made: Any, client: Any) -> None:
    models = made.get("models")
    lines = b'{"ref":"a"}\n{"ref":"b","width_mm":"9 kg"}\n'
    sent = made.get("types").File(payload=io.BytesIO(lines))
    answered = made.get("api.evaluation.evaluate_batch").sync(client=client, body=sent, venue="annexe")
    read = [json.loads(line) for line in answered.payload.read().splitlines()]
    first, second = models.BatchAnswer.from_dict(read[0]), models.BatchProblem.from_dict(read[1])
    assert (first.line, first.evaluation.works[0].ref, first.evaluation.venue.name) == (1, "a", "annexe")
    assert (second.line, second.problem.errors[0].pointer) == (2, "/width_mm")


# One word for one thing: each operation says what it does to its object by one of these.
VERBS = {"cancel", "check", "choose", "erase", "evaluate", "explain", "keep", "list", "make", "plan", "read", "replay", "show"}


def test_every_operation_is_named_by_what_it_does() -> None:
    described = document(build_catalogue(*discover()))
    names = [one["operationId"] for verbs in described["paths"].values() for one in verbs.values()]
    assert len(names) == len({name.lower() for name in names})
    for name in names:
        verb = "".join(sign if sign.islower() else " " for sign in name).split()[0]
        assert name.startswith(tuple(VERBS)), name
        assert verb in VERBS, f"{name}: begin with one of {sorted(VERBS)}, or add the verb here"
