"""Which facts take up a reading: declared with one word, and checked when the schema is composed."""

from typing import Literal

import pytest

from hangworthy.contract import Pair, Section, WorkFacts, ask
from hangworthy.contract.effect import Stage
from hangworthy.contract.facts import READABLE
from hangworthy.contract.reading import AsWritten
from hangworthy.contract.venue import WallFacts
from hangworthy.engine.schema import Schema, SchemaError, compose
from hangworthy.engine.written import Written
from hangworthy.readings import RULES


def schema_with(section: type[Section]) -> Schema:
    return compose(WorkFacts, WallFacts, {"print": [section]}, Stage, 500)


class PrintFacts(Section):
    """What a pack asks of a print."""

    copy_no: int = ask("Number", "Which number?", lo=0, hi=100, reads="edition_number")
    picture_mm: Pair = ask("Picture", "How large is the picture?", lo=1, hi=20_000, reads="image_size")
    proof: Literal["artist-proof"] = ask("Proof", "Which proof?", reads="proof_kind")


def test_a_declared_fact_gets_its_reading() -> None:
    told = Written(schema_with(PrintFacts)).read(AsWritten(dimensions="image: 300 x 400 mm", edition="12/50"))
    said = {one.fact: one.value for one in told.facts}
    assert said == {"/print/copy_no": 12, "/print/picture_mm": (400.0, 300.0)}


def test_a_value_that_the_fact_cannot_have_is_not_given() -> None:
    written = Written(schema_with(PrintFacts))
    assert "/print/proof" not in {one.fact for one in written.read(AsWritten(edition="P.P. 1/2")).facts}
    told = written.read(AsWritten(edition="120/500"))
    assert told.facts == ()
    assert [(one.rule, one.facts) for one in told.asks] == [("sense-open", ("/print/copy_no",))]


class _Misspelt(Section):
    """Reads what is not there."""

    copy_no: int = ask("Number", "Which number?", reads="edition_nummer")


class _WrongType(Section):
    """Reads a number as a text."""

    copy_no: str = ask("Number", "Which number?", reads="edition_number")


class _WrongKind(Section):
    """Is for works of a kind that there is not."""

    copy_no: int = ask("Number", "Which number?", kinds=("photograph", "etching"))


@pytest.mark.parametrize(
    ("section", "sentence"),
    [
        (_Misspelt, "reads “edition_nummer”, which is none of: artist_proofs, "),
        (_WrongType, "reads “edition_number”, which is a count"),
        (_WrongKind, "is for works of the kind “etching”, which is none of: stretched-canvas, "),
    ],
)
def test_a_wrong_declaration_stops_the_start(section: type[Section], sentence: str) -> None:
    with pytest.raises(SchemaError, match=f"print.copy_no: {sentence}"):
        schema_with(section)


def test_a_section_may_not_take_the_name_of_the_texts() -> None:
    with pytest.raises(SchemaError, match="taken by the contract"):
        compose(WorkFacts, WallFacts, {"as_written": [PrintFacts]}, Stage, 500)


def test_every_shared_reading_has_a_fact_and_every_question_is_short() -> None:
    shared = {one.reads for one in WorkFacts.asks.values()}
    assert (
        {"height", "width", "depth", "weight", "kind", "technique", "process", "framed", "friable", "medium"} <= shared <= {"", *READABLE}
    )
    for rule in RULES.values():
        for sentence in rule.reason.replace("? ", ". ").split(". "):
            assert 0 < len(sentence.split()) < 25, sentence


def test_a_question_repeats_no_more_than_forty_characters() -> None:
    told = Written(schema_with(PrintFacts)).read(
        AsWritten(dimensions="24 x 36 in and " + "very " * 40 + "\u202e nice", medium="\u202e" * 60)
    )
    for one in told.asks:
        quoted = one.question.partition("”")[0]
        assert len(quoted) <= 41
        assert "\u202e" not in quoted
