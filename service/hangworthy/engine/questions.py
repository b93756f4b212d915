"""Questions: the facts still to be given, ranked by what an answer would settle."""

from collections.abc import Sequence
from functools import lru_cache
from typing import Any

from hangworthy.contract.effect import Effect
from hangworthy.contract.finding import Finding, Question
from hangworthy.contract.quantities import units_accepted
from hangworthy.engine.language import Language
from hangworthy.engine.schema import Slot

KEPT = 2_048


class Questions:
    """Makes the ranked questions of one schema, in a language; what does not change from work to work is kept ready."""

    def __init__(self, language: Language) -> None:
        """Index the slots by pointer."""
        self.slots: dict[str, Slot] = {slot.pointer: slot for slot in language.slots}
        # The same questions are asked of most works.
        self._placed = lru_cache(maxsize=KEPT)(self._made)
        self.labels = language.labels if language.told else {}

    def rank(self, findings: Sequence[Finding]) -> list[Question]:
        """Return the questions of a work: first what could settle the worst effect, then what settles most rules.

        Ties are broken by whom to ask (the artist first) and by the order in which facts are declared, as a form would ask.
        """
        waiting: dict[str, tuple[Effect, list[str]]] = {}
        for finding in findings:
            if not finding.missing or finding.due is not None:
                continue
            effect, rule = finding.effect_at_worst or finding.effect, finding.rule
            for pointer in finding.missing:
                worst, rules = waiting.get(pointer) or (effect, [])
                if rule not in rules:
                    rules.append(rule)
                waiting[pointer] = (worst if worst.rank >= effect.rank else effect, rules)
        made = sorted(self._placed(pointer, effect, tuple(rules)) for pointer, (effect, rules) in waiting.items())
        return [question for _, question in made]

    def _made(self, pointer: str, effect: Effect, rules: tuple[str, ...]) -> tuple[tuple[Any, ...], Question]:
        """Return a question, and what puts it in its place among others: no two facts share a slot, so that is never equal."""
        made = self._question(pointer, effect, rules)
        return (-effect.rank, -len(rules), made.asked_of, *self._place(pointer)), made

    def _place(self, pointer: str) -> tuple[bool, int]:
        """Return the place of a fact in the form: the work's own before those of sections, then as declared."""
        slot = self.slots[pointer]
        return "." in slot.path, slot.index

    def _question(self, pointer: str, effect: Effect, rules: tuple[str, ...]) -> Question:
        slot = self.slots[pointer]
        asked = slot.ask
        return Question(
            fact=pointer, title=asked.title, prompt=asked.prompt, how=asked.how, asked_of=asked.asked_of, type=slot.kind,
            effect=effect, settles=rules, unit=slot.unit, units=units_accepted(slot.unit) if slot.unit else (),
            choices=slot.choices, minimum=asked.lo, maximum=asked.hi, count=slot.count,
            labels=self._labels(slot),
        )  # fmt: skip

    def _labels(self, slot: Slot) -> tuple[str, ...]:
        """Return how the choices are shown, in their order; nothing in the default language, where they speak for themselves."""
        labels = self.labels.get(slot.path)
        return tuple(labels[value] for value in slot.choices) if labels else ()
