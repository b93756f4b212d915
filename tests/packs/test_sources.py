"""The published rows of all packs together: each has one name, there are enough of them, and they come from many texts."""

import re

import pytest

from hangworthy.contract import RulePack, Source
from hangworthy.discovery import discover
from hangworthy.rows import read_rows

PACKS = [one.pack for one in discover()[0] if one.distribution.startswith("hangworthy ")]
ALL_EIGHT = {"canvas", "paper", "glazing", "editions", "hanging", "light", "climate", "condition"}
FEWEST_ROWS, FEWEST_SOURCES = 150, 40
_MEMORY = re.compile(r"[,;]?\s*\(?from memory\)?", re.IGNORECASE)
# A row that was worked out by plain mathematics has a derivation, and no text that could be looked up.
_NO_TEXT = re.compile(
    r"(geometr|elementary|calculus|mechanics|arithmetic|trigonometry|definition|law of|linear|normal quantile|statics|beam theory"
    r"|optics$|si$|two-hydrate equation$|[a-z]{1,2}-\d|[–-])",
    re.IGNORECASE,
)


def named(source: str) -> str:
    """The text that a source names, without how it was read; empty where it names none."""
    text = " ".join(_MEMORY.sub("", source).split()).casefold()
    return "" if _NO_TEXT.match(text) else text


def sources_of(pack: RulePack) -> set[str]:
    """The texts that a pack's rows, rules and limits name."""
    said: list[Source] = [rule.source for rule in pack.rules] + [limit.source for limit in pack.limits.declared.values()]
    texts = [row.source for row in read_rows(pack)] + [one.title for one in said if one.provenance == "published"]
    return {name for name in map(named, texts) if name}


@pytest.mark.parametrize("pack", PACKS, ids=lambda pack: pack.name)
def test_a_row_has_a_name_of_its_own_within_its_pack(pack: RulePack) -> None:
    ids = [row.id for row in read_rows(pack)]
    assert len(set(ids)) == len(ids)
    assert all(one.strip() == one != "" for one in ids)


def test_there_are_enough_rows() -> None:
    counts = {pack.name: len(read_rows(pack)) for pack in PACKS}
    print(f"\nrows: {sum(counts.values())} {counts}")
    assert sum(counts.values()) >= FEWEST_ROWS


def test_they_come_from_many_texts() -> None:
    """Counted always; held to the number only while no pack was taken out."""
    counts = {pack.name: len(sources_of(pack)) for pack in PACKS}
    distinct = set().union(*(sources_of(pack) for pack in PACKS))
    print(f"\nsources: {len(distinct)} {counts}")
    for one in sorted(distinct):
        print(f"  {one}")
    assert distinct
    if {pack.name for pack in PACKS} >= ALL_EIGHT:
        assert len(distinct) >= FEWEST_SOURCES


def test_how_a_source_was_read_makes_no_second_text_of_it() -> None:
    assert named("Hecht, Optics (from memory)") == named("Hecht, Optics") == named("Hecht, Optics, from memory") == "hecht, optics"
    assert named("Geometry of the circle") == ""
