"""The formulas at their edges: the last number that is accepted and the next one that is not, and every figure of the tables."""

import math

import pytest

from hangworthy_hanging import formulas


@pytest.mark.parametrize(
    ("call", "edge", "beyond", "said"),
    [
        (lambda share: formulas.most_covered(10.0, share), 100.0, 100.1, "share_percent"),
        (lambda twist: formulas.filter_adjusted(10.0, 0.1, twist), 180.0, 180.1, "twist_deg"),
        (lambda share: formulas.derated(10.0, share), 1.0, 1.01, "share"),
        (lambda gravity: formulas.wood_density(gravity, 12.0), 0.1, 0.099, "specific_gravity"),
        (lambda gravity: formulas.wood_density(gravity, 12.0), 1.3, 1.31, "specific_gravity"),
        (lambda moisture: formulas.wood_density(0.4, moisture), 30.0, 30.1, "moisture_percent"),
        (lambda areal: formulas.sheet_mass(100.0, 100.0, areal), 1000.0, 1001.0, "areal_kg_m2"),
        (lambda hours: formulas.frequency_multiplier(1.0, hours, 700.0), 8.0, 8.1, "hours"),
        (lambda one: formulas.weight_from_multipliers(23.0, [one]), 1.0, 1.01, "multiplier"),
        (lambda angle: formulas.sling_factor(angle), 0.01, 0.0099, "angle_deg"),
        (lambda angle: formulas.sling_factor(angle), 90.0, 90.1, "angle_deg"),
        (lambda hooks: formulas.hook_places(0.0, 900.0, hooks, 500.0), 100, 101, "hooks"),
        (lambda hooks: formulas.hook_places(0.0, 900.0, hooks), 1, 0, "hooks"),
    ],
)
def test_the_edge_is_accepted_and_the_next_number_refused(call, edge: float, beyond: float, said: str) -> None:
    call(edge)
    with pytest.raises(ValueError, match=said):
        call(beyond)


@pytest.mark.parametrize(
    ("often", "twist", "weight"),
    [
        (0.5, 0, 100.0),
        (0.51, 0, 70.0),
        (2.0, 0, 70.0),
        (2.1, 0, 50.0),
        (8.0, 0, 50.0),
        (8.1, 0, 20.0),
        (0.5, 45, 100.0),
        (0.5, 46, 90.0),
        (0.5, 90, 90.0),
        (0.5, 91, 80.0),
    ],
)
def test_the_filter_is_lowered_from_each_step_on(often: float, twist: float, weight: float) -> None:
    """Printed: 1 to 2 lifts a minute 30 % less, 5 to 8 a half, more than 12 four fifths; twisted beyond 45 degrees a tenth, 90 a fifth."""
    assert formulas.filter_adjusted(100.0, often, twist) == pytest.approx(weight)


# As printed: for up to 1, 2 and 8 hours, each below 75 cm and from 75 cm up.
FREQUENCIES = """
0.2   1.00 1.00  .95  .95  .85  .85
0.5    .97  .97  .92  .92  .81  .81
1      .94  .94  .88  .88  .75  .75
2      .91  .91  .84  .84  .65  .65
3      .88  .88  .79  .79  .55  .55
4      .84  .84  .72  .72  .45  .45
5      .80  .80  .60  .60  .35  .35
6      .75  .75  .50  .50  .27  .27
7      .70  .70  .42  .42  .22  .22
8      .60  .60  .35  .35  .18  .18
9      .52  .52  .30  .30  .00  .15
10     .45  .45  .26  .26  .00  .13
11     .41  .41  .00  .23  .00  .00
12     .37  .37  .00  .21  .00  .00
13     .00  .34  .00  .00  .00  .00
14     .00  .31  .00  .00  .00  .00
15     .00  .28  .00  .00  .00  .00
"""
PRINTED = [[float(cell) for cell in line.split()] for line in FREQUENCIES.strip().splitlines()]


@pytest.mark.parametrize("row", range(len(PRINTED)))
def test_the_table_of_frequencies(row: int) -> None:
    often, *factors = PRINTED[row]
    after = PRINTED[row + 1][1:] if row + 1 < len(PRINTED) else [0.0] * 6
    columns = [(hours, hands) for hours in (1.0, 2.0, 8.0) for hands in (749.0, 750.0)]
    assert [formulas.frequency_multiplier(often, *column) for column in columns] == factors
    assert [formulas.frequency_multiplier(often + 0.001, *column) for column in columns] == after


@pytest.mark.parametrize(("hours", "factor"), [(1.0, 0.75), (1.01, 0.50), (2.0, 0.50), (2.01, 0.27), (8.0, 0.27)])
def test_the_hours_of_the_table(hours: float, factor: float) -> None:
    assert formulas.frequency_multiplier(6.0, hours, 700.0) == factor


@pytest.mark.parametrize(
    ("grip", "hands", "factor"),
    [("good", 749, 1.0), ("good", 750, 1.0), ("fair", 749, 0.95), ("fair", 750, 1.0), ("poor", 749, 0.9), ("poor", 750, 0.9)],
)
def test_the_table_of_grips(grip: str, hands: float, factor: float) -> None:
    assert formulas.grip_multiplier(grip, hands) == factor


@pytest.mark.parametrize(
    ("call", "edge", "factor", "beyond"),
    [
        (formulas.horizontal_multiplier, 630.0, 250 / 630, 631.0),
        (formulas.vertical_multiplier, 1750.0, 0.7, 1751.0),
        (formulas.distance_multiplier, 1750.0, 0.82 + 4.5 / 175, 1751.0),
        (formulas.twist_multiplier, 135.0, 0.568, 135.1),
    ],
)
def test_beyond_the_equation_nothing_may_be_lifted(call, edge: float, factor: float, beyond: float) -> None:
    assert call(edge) == pytest.approx(factor)
    assert call(beyond) == 0.0


def test_the_multipliers_near_the_body_and_by_hand() -> None:
    assert formulas.horizontal_multiplier(0.0) == formulas.horizontal_multiplier(250.0) == 1.0
    assert formulas.horizontal_multiplier(260.0) == pytest.approx(25 / 26)
    assert formulas.vertical_multiplier(0.0) == pytest.approx(1.0 - 0.003 * 75)
    assert formulas.distance_multiplier(0.0) == formulas.distance_multiplier(250.0) == pytest.approx(1.0)
    assert formulas.distance_multiplier(260.0) == pytest.approx(0.82 + 4.5 / 26)
    assert formulas.recommended_weight(250.0, 750.0, 250.0, 0.0) == pytest.approx(23.0)


DENSITIES = {
    "softwood": (350, 600), "wood": (350, 800), "panel": (400, 1050), "mdf": (600, 850), "aluminium": (2700, 2700), "plastic": (300, 1100),
}  # fmt: skip
AREAL = {
    "paper": (0.06, 0.7), "canvas": (0.3, 1.5), "thick-canvas": (0.6, 5.0), "mat": (0.1, 2.5), "card": (0.3, 1.5),
    "foam-board": (0.3, 1.0), "hardboard": (1.8, 3.5), "mdf": (1.8, 5.0), "plywood": (1.2, 4.0),
}  # fmt: skip


@pytest.mark.parametrize("material", DENSITIES)
def test_densities_are_those_of_the_trade(material: str) -> None:
    assert formulas.density(material) == DENSITIES[material]


@pytest.mark.parametrize("material", AREAL)
def test_sheets_weigh_what_the_trade_says(material: str) -> None:
    assert formulas.areal_mass(material) == AREAL[material]


@pytest.mark.parametrize(
    ("material", "low", "high"),
    [("wood", 175, 720), ("mdf", 300, 765), ("plastic", 150, 990), ("aluminium", 216, 675)],
)
def test_what_of_a_moulding_is_solid(material: str, low: float, high: float) -> None:
    """Half to nine tenths of the box round the profile; of hollow aluminium, 8 to 25 %."""
    assert formulas.solid_density(material) == (pytest.approx(low), pytest.approx(high))


def test_a_thick_spacer_leans_the_work_back_until_its_top_edge_meets_the_wall() -> None:
    """30 mm at the foot of 600 mm on a hook at the wall: it lies back by arcsin 0.05 at most, its top edge on the wall."""
    got = formulas.lean(600.0, 20.0, 20.0, 0.0, 0.0, 30.0)
    assert got.tilt_deg == pytest.approx(-math.degrees(math.asin(0.05)))
    assert got.top_gap_mm == pytest.approx(0.0, abs=1e-9)


def test_a_spacer_thicker_than_the_work_is_high_lays_it_nearly_flat() -> None:
    """Rings 90 mm above an edge that stands 120 mm out cannot reach the wall: it lies back as far as it goes, and nothing fails."""
    got = formulas.lean(100.0, 5.0, 10.0, 0.0, 0.0, 120.0)
    assert -90.0 < got.tilt_deg < -75.0
