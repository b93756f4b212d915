"""Examples: request and answer pairs for the document, made from the packs' own test cases and answered by the engine itself."""

from typing import Any

import msgspec

from hangworthy.api.describe import cases
from hangworthy.contract.finding import Evaluation
from hangworthy.engine.catalogue import Catalogue
from hangworthy.engine.evaluate import BadWorks, Evaluator
from hangworthy.engine.ruleset import Ruleset, Venue

_KINDS = ("fail", "pass", "unknown")
_PLACE = ("wall", "frames", "rates", "limits", "works")  # an example stands for the default venue and one work
_STAMP = "2026-03-31T12:00:00Z"
_FINGERPRINT = "0f1e2d3c4b5a6978"  # an example must not go stale when a comment in a pack changes
_TITLES = {
    "fail": "Something is to be put right",
    "pass": "All that was asked is as it should be",
    "unknown": "A half-filled form",
}


class Example(msgspec.Struct, frozen=True):
    """A documented call: its name, what it shows, the request, and the answer to it at a venue with one ``pack`` alone."""

    name: str
    pack: str
    summary: str
    request: dict[str, Any]
    answer: dict[str, Any]


def examples(catalogue: Catalogue) -> list[Example]:
    """Return up to three examples for each pack: one that fails, one that passes, one with facts missing.

    Each is answered with the findings of its own pack; with those of all, an answer would fill many pages.
    """
    made = []
    for one in catalogue.installed:
        pack = one.pack.name
        evaluator = Evaluator(Ruleset(catalogue, Venue(name="default", packs=(pack,), fingerprint=_FINGERPRINT)))
        usable = [case for case in cases(one.pack) if case.get("work") and not any(case.get(key) for key in _PLACE)]
        for kind in _KINDS:
            ranked = sorted((case for case in usable if case.get("kind") == kind), key=_size, reverse=True)
            tried = (_example(evaluator, pack, kind, case) for case in ranked)
            made += [found] if (found := next(filter(None, tried), None)) else []
    return made


def files(catalogue: Catalogue) -> dict[str, bytes]:
    """Return the examples as files, by name: a request and its answer for each."""
    written = {}
    for one in examples(catalogue):
        written[f"{one.name}.request.json"] = _file(one.request)
        written[f"{one.name}.answer.json"] = _file(one.answer)
    return written


def _file(value: Any) -> bytes:
    return msgspec.json.format(msgspec.json.encode(value), indent=2) + b"\n"


def _size(case: dict[str, Any]) -> tuple[int, str]:
    return len(msgspec.json.encode(case["work"])), str(case.get("name", ""))


def _example(evaluator: Evaluator, pack: str, kind: str, case: dict[str, Any]) -> Example | None:
    """Return the example of a case, or None where the case cannot be sent as it stands."""
    request = {"stage": case.get("stage", "offer"), "works": [{"ref": "example-1", **case["work"]}]}
    plain: dict[str, Any] = msgspec.json.decode(msgspec.json.encode(request))
    try:
        decoded: Any = msgspec.convert(plain, evaluator.ruleset.schema.request)
        evaluation = evaluator.evaluate(decoded.works, decoded.stage)
    except (msgspec.ValidationError, BadWorks):
        return None
    name = f"{pack}-{kind}"
    title = f"{_TITLES[kind]}: {case.get('name', name)} (a venue with the pack “{pack}” alone)"
    return Example(name, pack, title, plain, _answer(evaluation))


def _answer(evaluation: Evaluation) -> dict[str, Any]:
    evaluation.evaluated_at = _STAMP
    evaluation.packs = tuple(msgspec.structs.replace(pack, fingerprint=_FINGERPRINT) for pack in evaluation.packs)
    answer: dict[str, Any] = msgspec.json.decode(msgspec.json.encode(evaluation))
    return answer
