"""Dimensions against a museum's own parse, and every confidence against what was counted.

Source of the expected figures: the columns width, height and depth of data/museum_lines.tsv, which the museum filled in itself.
"""

from collections import Counter

import pytest

from hangworthy.readings import RULES
from hangworthy.readings.dimensions import DimensionsRead, read_dimensions
from readings.lines import HALVES, museum


def parsed(half: str) -> list[tuple[dict[str, str], DimensionsRead]]:
    return [(row, read_dimensions(row["dimensions"])) for row in museum(half) if row["width"]]


def pair(row: dict[str, str]) -> list[float] | None:
    """The museum's pair; where its own parse took a word for a number (“(upper):”), none: such a line counts as not agreeing."""
    try:
        return sorted((float(row["width"]), float(row["height"])))
    except ValueError:
        return None


def leading_agrees(row: dict[str, str], read: DimensionsRead) -> bool:
    """The first size of the line has the museum's pair, in either order, and its depth."""
    if not read.sizes:
        return False
    numbers = read.sizes[0].numbers
    depth = (float(row["depth"]),) if row["depth"] else ()
    return sorted(numbers[:2]) == pair(row) and numbers[2:][: len(depth)] == depth


def fact_agrees(row: dict[str, str], read: DimensionsRead) -> bool:
    """The facts of the work's size, or of its image's, are the museum's pair."""
    said = {found.name: found.value for found in read.found}
    pairs = [(said.get("width"), said.get("height")), said.get("image_size", (None,))]
    return pair(row) in [sorted(one) for one in pairs if None not in one]


@pytest.mark.parametrize("half", HALVES)
def test_the_leading_size_is_the_museums(half: str) -> None:
    every = parsed(half)
    wrong = [(row["dimensions"], row["width"], row["height"], row["depth"]) for row, read in every if not leading_agrees(row, read)]
    print(f"\n{half}: {len(every) - len(wrong)} of {len(every)} agree ({1 - len(wrong) / len(every):.2%}); not: {wrong}")
    assert len(every) > 1800
    assert len(wrong) <= 0.005 * len(every)


@pytest.mark.parametrize("half", HALVES)
def test_the_facts_are_the_museums(half: str) -> None:
    """Where it differs, the museum took the frame for the work, or one part of several for the whole; then it is asked."""
    every = parsed(half)
    wrong = [(row["dimensions"], [one.rule for one in read.unsure]) for row, read in every if not fact_agrees(row, read)]
    print(f"\n{half}: {len(every) - len(wrong)} of {len(every)} facts agree ({1 - len(wrong) / len(every):.2%}); not: {wrong}")
    assert len(wrong) <= 0.005 * len(every)


def test_the_museum_writes_height_first_and_so_it_is_read() -> None:
    """Two panels of 1075 mm, one above the other, make 2174 mm with the gap: height comes first. Frames go as their works do."""
    assert any(
        row["dimensions"].startswith("image: 2174 x 1832 mm") and "(upper panel: 1075 x 1832 mm" in row["dimensions"]
        for row, _ in parsed("development")
    )
    decided = Counter(size.order for row, read in parsed("development") for size in read.sizes if size.of == "support")
    assert decided["order-catalogue"] > 0.95 * decided.total()
    framed = [read.sizes for row, read in parsed("development") if [size.of for size in read.sizes] == ["support", "frame"]]
    clear = [(support, frame) for support, frame in framed if max(support.numbers) > 1.15 * min(support.numbers[:2])]
    assert len(clear) > 50
    other = [(support, frame) for support, frame in clear if (support.height_mm > support.width_mm) != (frame.height_mm > frame.width_mm)]
    assert len(other) <= 1  # “support: 988 x 1258 mm / frame: 1259 x 998 x 35 mm” cannot be: the museum's slip


def test_lines_without_a_parse_give_no_size_that_is_not_written() -> None:
    for half in HALVES:
        for row in museum(half):
            if row["width"]:
                continue
            for size in read_dimensions(row["dimensions"]).sizes:
                assert all(f"{number:g}" in row["dimensions"] for number in size.numbers)


def test_each_confidence_is_what_was_counted() -> None:
    """Counted again on the development lines, by the rule that gave the leading size."""
    tried, right = Counter[str](), Counter[str]()
    for row, read in parsed("development"):
        rule = f"label-{read.sizes[0].of}"
        if rule in RULES:
            tried[rule] += 1
            right[rule] += leading_agrees(row, read)
    assert {rule: (right[rule], tried[rule]) for rule in tried} == {
        name: rule.ground for name, rule in RULES.items() if name.startswith("label-") and isinstance(rule.ground, tuple)
    }


def test_a_confidence_is_the_rule_of_succession() -> None:
    """Laplace's: (right + 1) / (tried + 2); 9 of 9 is 10/11."""
    counted = {name: rule for name, rule in RULES.items() if isinstance(rule.ground, tuple)}
    assert counted["moving"].ground == (9, 9)
    assert counted["moving"].confidence == round(10 / 11, 3)
    assert all(0 < rule.confidence < 1 for rule in counted.values())
