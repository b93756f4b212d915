"""When a work is erased, nothing that any built-in rule told of the works beside it tells of it any longer, in any language."""

import msgspec
import pytest

from hangworthy.contract import RulePack
from hangworthy.contract.languages import LANGUAGES
from hangworthy.discovery import discover
from hangworthy.engine.evaluate import Evaluator
from hangworthy.history.sql.bodies import without
from hangworthy.testing import cases_of
from hangworthy.testing.runner import catalogue_of, ruleset_of


@pytest.mark.parametrize("pack", [one.pack for one in discover()[0]], ids=lambda pack: pack.name)
def test_no_sentence_names_an_erased_work(pack: RulePack) -> None:
    schema = catalogue_of(pack).schema
    for case in cases_of(pack):
        given = list(case.facts())
        if len(given) < 2:
            continue
        refs = [f"ref-{number}-of-a-work" for number in range(len(given))]  # no sentence holds such a text by chance
        works = [msgspec.convert({**facts, "ref": ref}, schema.work) for facts, ref in zip(given, refs, strict=True)]
        for language in LANGUAGES:
            answer = msgspec.json.encode(Evaluator(ruleset_of(pack, case, language), keep=0).evaluate(works, case.stage))
            for ref in refs:
                _, left, _ = without(b'{"works":[]}', answer, [ref])
                assert ref.encode() not in left, (case.name, language)
                assert len(msgspec.json.decode(left)["works"]) == len(refs) - 1
