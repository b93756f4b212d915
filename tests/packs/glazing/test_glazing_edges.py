"""The glazing formulas at the edges of what they accept, and a bow to more digits than are printed."""

import math
from collections.abc import Callable

import pytest

from hangworthy_glazing import formulas

EDGES: list[tuple[str, Callable[[float], float], float, float, float]] = [
    # which, formula of the number, the last that is accepted, what it gives there by hand, the first that is refused
    ("angle, inwards", lambda one: formulas.bow_depth(one, 1000.0), 1e-3, 125.0, 1.001e-3),  # 1000² × 1e-3 / 8
    ("angle, outwards", lambda one: formulas.bow_depth(one, 1000.0), -1e-3, -125.0, -1.001e-3),
    ("strain", lambda one: formulas.bow_curvature(one, 2.0), 0.05, 0.025, 0.0501),
    ("strain, shorter", lambda one: formulas.bow_curvature(one, 2.0), -0.05, -0.025, -0.0501),
    ("Poisson ratio", lambda one: formulas.held_bow(1e-6, 1000.0, 50_000.0, one), 0.5, 0.1875, 0.501),  # 1.5 / 8
    ("warming", lambda one: formulas.thermal_growth(1000.0, one, 9e-6), 100.0, 0.9, 100.1),
    ("cooling", lambda one: formulas.thermal_growth(1000.0, one, 9e-6), -100.0, -0.9, -100.1),
    ("humidity", formulas.moisture_strain, 100.0, 0.006, 100.1),
    ("index of air", formulas.surface_reflectance, 1.0, 0.0, 0.999),
    ("index of germanium", formulas.surface_reflectance, 4.0, 0.36, 4.001),  # (3/5)²
    ("index below a coating", lambda one: formulas.coated_reflectance(one, 2.0), 4.0, 0.0, 4.001),
    ("index of a coating", lambda one: formulas.coated_reflectance(1.0, one), 4.0, 225 / 289, 4.001),  # (15/17)²
    ("coating of air", lambda one: formulas.coated_reflectance(4.0, one), 1.0, 0.36, 0.999),
    ("a mirror", formulas.pane_reflectance, 1.0, 1.0, 1.001),
]


@pytest.mark.parametrize(("formula", "last", "gives", "first"), [edge[1:] for edge in EDGES], ids=[edge[0] for edge in EDGES])
def test_the_edge_is_accepted_and_what_lies_beyond_is_refused(
    formula: Callable[[float], float], last: float, gives: float, first: float
) -> None:
    assert formula(last) == pytest.approx(gives, rel=1e-9, abs=1e-15)
    with pytest.raises(ValueError, match="should lie between"):
        formula(first)


def held_along_the_other_side(short: float, long: float) -> float:
    """The middle of a membrane that sags by ∇²w = −1, by strips along the long side instead of across: 25 terms."""
    total = sum((1 if n % 4 == 1 else -1) / (n**3 * math.cosh(n * math.pi * short / (2 * long))) for n in range(1, 51, 2))
    return long**2 * (1 / 8 - 4 / math.pi**3 * total)


@pytest.mark.parametrize(("short", "long"), [(1000.0, 1000.0), (1000.0, 1050.0), (800.0, 1000.0), (500.0, 1000.0)])
def test_a_held_bow_is_the_same_by_strips_along_either_side(short: float, long: float) -> None:
    """The sixth term of a pane of 1000 × 1050 mm is 3e-11 of the whole; what is left out is below 1e-12."""
    want = 1e-6 * held_along_the_other_side(short, long)
    assert formulas.held_bow(1e-6, short, long, 0.0) == pytest.approx(want, rel=5e-12)


def test_a_strip_of_any_length_has_a_bow() -> None:
    """At 458 to 1 the hyperbolic cosine is beyond the largest float; the strip bows as one without ends: 10² × 1e-6 / 8."""
    assert formulas.held_bow(1e-6, 10.0, 4584.0, 0.0) == pytest.approx(1.25e-5, rel=1e-12)
