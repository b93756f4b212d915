"""The script that nudges numbers: that it finds them, changes one at a time, and notices what is noticed."""

import ast
from pathlib import Path

import pytest

import mutation
from mutation import Place, explains, nudged, numbers_in, places_of, read_survivors

TEXT = '''"""Words 7."""
HEIGHT = 3.5
TABLE = {"a": (0.1, 2)}

def area(x, share=0.25):
    """Words 8."""
    if x < 0:
        raise ValueError(f"at least {5}")
    for _ in range(9):
        x = x[1] ** 2 + TABLE["a"][0]
    return x * share
'''
LIMITS = """
class Some(Limits):
    bow_mm: float = limit(1000 / 150, "mm", SOURCE, "words", lo=1, hi=9)
"""


def found(text: str, *, limits: bool = False) -> list[Place]:
    return numbers_in("some", "formulas.py", text, limits=limits)


def test_the_numbers_of_a_formula_are_found_and_nothing_else() -> None:
    places = found(TEXT)
    assert [(one.name, one.value) for one in places] == [
        ("HEIGHT", "3.5"),
        ("TABLE", "0.1"),
        ("TABLE", "2"),
        ("area", "0.25"),
        ("area", "9"),
        ("area", "2"),
    ]
    assert [one.value for one in places if one.whole] == ["9"]


def test_of_a_limit_only_the_default_is_found() -> None:
    assert [(one.name, one.value) for one in found(LIMITS, limits=True)] == [("Some.bow_mm", "1000 / 150")]


@pytest.mark.parametrize("factor", [1.1, 0.9])
def test_one_number_is_changed_and_only_one(factor: float) -> None:
    for place in found(TEXT) + found(LIMITS, limits=True):
        text = TEXT if place.name != "Some.bow_mm" else LIMITS
        whole = "10" if factor > 1 else "8"
        wanted = whole if place.whole else f"{place.value} * {factor}"
        before, after = (ast.unparse(tree) for tree in (ast.parse(text), nudged(text, place, factor)))
        changed = [(old, new) for old, new in zip(before.splitlines(), after.splitlines(), strict=True) if old != new]
        assert len(changed) == 1
        assert wanted in changed[0][1].replace("(", "").replace(")", "")


def test_numbers_that_are_written_alike_are_told_apart_in_the_order_of_the_text() -> None:
    text = "def f(x):\n    return x * 2 if x > 2 else 3 - 2\n"
    assert [(one.value, one.nth, one.span[1]) for one in found(text)] == [("2", 1, 15), ("2", 2, 24), ("3", 1, 31), ("2", 3, 35)]


def test_every_pack_has_numbers_and_evidence() -> None:
    names = mutation.folders()
    assert "handbook" in names
    for name in names:
        assert mutation.packs_for(name)
        assert all((names[place.pack] / place.file).is_file() for place in places_of(name))


def test_every_explanation_is_about_a_number_that_is_there_and_says_why() -> None:
    numbers = {name: places_of(name) for name in mutation.folders()}
    for entry in read_survivors():
        assert [place for place in numbers[entry["pack"]] if explains(entry, place)], entry
        assert len(entry["reason"].split()) >= 4, entry
        assert entry.get("factor", 1.1) in mutation.FACTORS


def test_an_entry_that_lacks_its_reason_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "survivors.toml"
    file.write_text('[[survivor]]\npack = "a"\nfile = "b"\nname = "c"\nvalue = "1"\n', "utf-8")
    with pytest.raises(SystemExit, match="reason"):
        read_survivors(file)


def test_a_child_that_hangs_or_crashes_is_told_from_one_that_answers() -> None:
    def crash() -> str:
        raise RuntimeError

    def hang() -> str:
        while True:
            pass

    answers = [mutation.wait_for(*mutation.in_child(work), seconds) for work, seconds in ((lambda: "rows", 30), (crash, 30), (hang, 0.2))]
    assert answers == ["rows", "crash", "hangs"]
