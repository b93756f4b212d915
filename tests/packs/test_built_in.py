"""The built-in packs, held to the same kit as any other. Run with ``-s`` to read every sentence aloud."""

import re
from pathlib import Path

import pytest

from hangworthy.contract import RulePack
from hangworthy.discovery import discover
from hangworthy.testing import Case, RowResult, cases_of, check_case, check_rows, conform, faults_of, render_sentences
from hangworthy.testing.wording import MOST_WORDS, split

README = Path(__file__).parents[2] / "README.md"
INSTALLED, FAULTS = discover()
# A pack from elsewhere may be installed beside ours; its tests are its own.
PACKS = [one.pack for one in INSTALLED if one.distribution.startswith("hangworthy ")]
CASES = [pytest.param(pack, case, id=f"{pack.name}.{case}") for pack in PACKS for case in cases_of(pack)]
ROWS = [pytest.param(row, id=f"{pack.name}.{row}") for pack in PACKS for row in check_rows(pack)]


@pytest.fixture(params=PACKS, ids=lambda pack: pack.name)
def pack(request: pytest.FixtureRequest) -> RulePack:
    return request.param


def test_the_built_in_packs_are_found_and_without_fault() -> None:
    assert FAULTS == []
    assert "canvas" in {pack.name for pack in PACKS}


def test_the_readme_counts_its_rules(pack: RulePack) -> None:
    row = re.search(rf"^\| \[{pack.name}\]\(rulepacks/\w+/README\.md\) \| (\d+) \|", README.read_text("utf-8"), re.MULTILINE)
    assert row is not None
    assert int(row[1]) == len({one.name for one in pack.rules})


def test_conform(pack: RulePack) -> None:
    conform(pack)


@pytest.mark.parametrize(("pack", "case"), CASES)
def test_case(pack: RulePack, case: Case) -> None:
    check_case(pack, case)


@pytest.mark.parametrize("row", ROWS)
def test_published_row(row: RowResult) -> None:
    assert row.holds, row.text


def test_every_case_says_why(pack: RulePack) -> None:
    assert [str(case) for case in cases_of(pack) if not case.why] == []


def test_every_published_row_says_where_and_why(pack: RulePack) -> None:
    assert [row.row.id for row in check_rows(pack) if not (row.row.where and row.row.why and row.row.source)] == []


def test_sentences(pack: RulePack) -> None:
    """Every sentence renders, and what an artist reads is short enough; printed for a person to read."""
    sentences = render_sentences(pack)
    code = ""
    for one in sentences:
        if one.code != code:
            print(f"\n{one.code}")
            code = one.code
        print(f"  {one.state:<15} {one.audience:<12} {one.sentence}")
    longest = max((len(part.split()), part) for one in sentences if one.audience != "coordinator" for part in split(one.sentence))
    print(f"\nlongest: {longest[0]} words: {longest[1]}")
    assert longest[0] <= MOST_WORDS
    assert [fault for one in sentences for fault in faults_of(one)] == []
