"""Drawings in the kit: every sketch is drawn by some case, fails for none, and says what people can read."""

import msgspec

from hangworthy.contract import RulePack
from hangworthy.engine.drawings import draw
from hangworthy.engine.evaluate import Evaluator
from hangworthy.testing.cases import Case
from hangworthy.testing.runner import catalogue_of, ruleset_of
from hangworthy.testing.wording import MOST_WORDS, split


def drawing_faults(pack: RulePack, cases: list[Case]) -> list[str]:
    """Return what is wrong with a pack's drawings."""
    wrong, drawn = _words(pack), set[str]()
    for case in cases if pack.drawings else ():
        catalogue = catalogue_of(pack)
        evaluator = Evaluator(ruleset_of(pack, case), keep=0)
        try:
            works = [msgspec.convert(facts, catalogue.schema.work) for facts in case.facts()]
            made = draw(evaluator.ruleset, evaluator.read(works), strict=True)
        except Exception as error:  # noqa: BLE001 - a sketch may raise anything; the kit tells whatever it was
            wrong.append(f"{pack.name}.{case}: a drawing failed: {type(error).__name__}: {error}")
            continue
        drawn |= {one.sketch.name for work in made for one in work}
    never = sorted({one.name for one in pack.drawings} - drawn)
    return list(dict.fromkeys(wrong)) + [f"drawing {pack.name}.{name} is drawn by no case" for name in never]


def _words(pack: RulePack) -> list[str]:
    """Captions are sentences that an artist reads in passing."""
    return [
        f"drawing {pack.name}.{one.name}: {len(part.split())} words, at most {MOST_WORDS}: “{part}”"
        for one in pack.drawings
        for text in (one.title, *one.says.values())
        for part in split(text)
        if len(part.split()) > MOST_WORDS
    ]
