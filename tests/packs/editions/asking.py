"""Asking the pack alone: works in, findings out."""

from collections.abc import Mapping, Sequence
from typing import Any

import msgspec

from hangworthy.contract import Evaluation, ExchangeRate, Finding, Override, Stage
from hangworthy.engine.evaluate import Evaluator
from hangworthy.engine.ruleset import Ruleset, Venue
from hangworthy.testing.runner import catalogue_of
from hangworthy_editions import PACK

CATALOGUE = catalogue_of(PACK)


def rate(currency: str, worth: str, of: str) -> ExchangeRate:
    return msgspec.convert({"currency": currency, "worth": worth, "of": of}, ExchangeRate)


def asked(
    works: Sequence[Mapping[str, Any]],
    *,
    stage: Stage = Stage.OFFER,
    wall: Mapping[str, Any] | None = None,
    rates: tuple[ExchangeRate, ...] | None = None,
    limits: Mapping[str, float] | None = None,
) -> Evaluation:
    schema = CATALOGUE.schema
    overrides = {f"editions.{name}": Override(value=value, reason="set by the test") for name, value in (limits or {}).items()}
    conditions = msgspec.convert(dict(wall), schema.wall) if wall else None
    evaluator = Evaluator(Ruleset(CATALOGUE, Venue(name="test", conditions=conditions, rates=rates, limits=overrides)))
    full = [{"ref": f"w{place:04}", **work} for place, work in enumerate(works)]
    return evaluator.evaluate([msgspec.convert(work, schema.work, strict=False) for work in full], stage)


def findings(answer: Evaluation, rule: str) -> dict[str, Finding]:
    return {work.ref: finding for work in answer.works for finding in work.findings if finding.rule == f"editions.{rule}"}
