"""Editions as they are pencilled in the margin and typed into lists. Common practice, no source."""

import pytest

from hangworthy.readings.edition import read_edition

TOLD = [
    ("12/50", (12, 50, None, None, None)),
    ("ed. 12/50", (12, 50, None, None, None)),
    ("Edition: 12 of 50", (12, 50, None, None, None)),
    ("Nr. 3 von 20", (3, 20, None, None, None)),
    ("limited edition 12/50, 5 APs", (12, 50, None, None, None)),
    ("A.P.", (0, None, "artist-proof", None, None)),
    ("a.p.", (0, None, "artist-proof", None, None)),
    ("artist's proof", (0, None, "artist-proof", None, None)),
    ("AP 2/5", (0, None, "artist-proof", 2, 5)),
    ("2/5 A.P.", (0, None, "artist-proof", 2, 5)),
    ("e.a. III/X", (0, None, "artist-proof", 3, 10)),
    ("E.A. IV/XL", (0, None, "artist-proof", 4, 40)),
    ("P.P. 1/2", (0, None, "printer-proof", 1, 2)),
    ("H.C.", (0, None, "hors-commerce", None, None)),
    ("edition of 50", (None, 50, None, None, None)),
    ("Auflage 30", (None, 30, None, None, None)),
    ("50 Exemplare", (None, 50, None, None, None)),
    ("1/1", (1, 1, None, None, None)),
    ("unique", (None, 1, None, None, None)),
    ("Unikat", (None, 1, None, None, None)),
    ("open edition", (None, 0, None, None, None)),
]


@pytest.mark.parametrize(("text", "told"), TOLD, ids=lambda value: str(value)[:30])
def test_what_is_told(text: str, told: tuple[object, ...]) -> None:
    edition = read_edition(text).edition
    assert edition is not None
    assert (edition.number, edition.size, edition.proof, edition.proof_number, edition.proofs) == told


@pytest.mark.parametrize(
    ("text", "rule"),
    [
        ("51/50", "edition-clash"),
        ("12/50, 13/50", "edition-clash"),
        ("signed", "edition-open"),
        ("edition of 50", "edition-number"),
        ("Auflage 30 Stück", "edition-number"),
        ("5 AP", "edition-part"),
    ],
)
def test_what_is_asked(text: str, rule: str) -> None:
    assert [one.rule for one in read_edition(text).unsure] == [rule]


def test_proofs_beside_the_edition_are_counted() -> None:
    said = {one.name: one.value for one in read_edition("12/50 + 5 AP, 2 PP").found}
    assert said == {"edition_number": 12, "edition_size": 50, "artist_proofs": 5, "printer_proofs": 2}


@pytest.mark.parametrize("text", ["2 photographs on paper", "Etching on 1/2 sheet", "Oil on canvas", "3 of 5 panels, oil", "ad hoc ink"])
def test_a_medium_is_not_taken_for_an_edition(text: str) -> None:
    assert read_edition(text, "medium", strict=True) == (None, (), ())


@pytest.mark.parametrize("text", ["Screenprint on paper, ed. 12/50", "Lithograph on paper 12/50", "Etching, numbered 12/50, signed"])
def test_an_edition_at_the_end_of_a_medium_is_read(text: str) -> None:
    edition = read_edition(text, "medium", strict=True).edition
    assert edition is not None
    assert (edition.number, edition.size) == (12, 50)
