"""One pack asked alone, at a venue whose walls say what a test wants them to say."""

from functools import cached_property
from typing import Any

import msgspec
from hypothesis import strategies as st

from hangworthy.contract import Finding, RulePack, Stage
from hangworthy.discovery import installed_pack
from hangworthy.engine.catalogue import Catalogue, build_catalogue
from hangworthy.engine.evaluate import Evaluator
from hangworthy.engine.ruleset import Ruleset, Venue
from strategies import answers, wire


class OnePack:
    """A pack with its catalogue, built once; ``stage`` is the one that its works are at unless a test says otherwise."""

    def __init__(self, pack: RulePack, stage: Stage) -> None:
        self.pack, self.stage = pack, stage

    @cached_property
    def catalogue(self) -> Catalogue:
        return build_catalogue([installed_pack(self.pack)])

    def evaluate(self, work: dict[str, Any], wall: dict[str, Any], stage: Stage | None = None) -> dict[str, Finding]:
        """Return the findings of one work by the rule's short name."""
        schema = self.catalogue.schema
        conditions = msgspec.convert(wall, schema.wall) if wall else None
        evaluator = Evaluator(Ruleset(self.catalogue, Venue(name="anywhere", conditions=conditions)))
        answer = evaluator.evaluate(wire(schema, [work]), stage or self.stage)
        return {one.rule.split(".")[1]: one for one in answer.works[0].findings}

    def wall_facts(self, *, full: bool = False) -> st.SearchStrategy[dict[str, Any]]:
        """Facts of a wall that the pack's rules read; all of them, or any."""
        read = [slot for entry in self.catalogue.entries for slot in entry.slots if slot.path.startswith("wall.")]
        made = {slot.path.removeprefix("wall."): answers(slot).map(_sure) for slot in read}
        return st.fixed_dictionaries(made) if full else st.fixed_dictionaries({}, optional=made)


def _sure(value: Any) -> Any:
    """A wall's figures carry no ±."""
    return float(value.partition(" ±")[0]) if isinstance(value, str) and "±" in value else value
