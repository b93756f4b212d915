"""The formulas against numerical solutions of the equations they come from."""

import math

import numpy as np
import pytest
from scipy import integrate, optimize, stats
from scipy.sparse import diags_array, eye_array, kron
from scipy.sparse.linalg import eigsh, spsolve

from hangworthy_canvas import formulas


def laplacian(a: float, b: float, nx: int, ny: int):
    """Minus the five-point Laplacian on the inner nodes of a x b."""

    def second(length: float, n: int):
        h = length / n
        return diags_array([-1.0, 2.0, -1.0], offsets=[-1, 0, 1], shape=(n - 1, n - 1)) / (h * h)

    return (kron(second(a, nx), eye_array(ny - 1)) + kron(eye_array(nx - 1), second(b, ny))).tocsc()


def pad(length: float, n: int, side: float) -> np.ndarray:
    """Share of each inner node's cell that a centred pad covers."""
    h = length / n
    x = np.arange(1, n) * h
    low, high = (length - side) / 2, (length + side) / 2
    return np.clip(np.minimum(x + h / 2, high) - np.maximum(x - h / 2, low), 0, None) / h


def test_frequencies_are_the_eigenvalues_of_the_laplacian() -> None:
    values = np.sort(eigsh(laplacian(0.8, 1.0, 64, 80), k=3, sigma=0, return_eigenvectors=False))
    found = np.sqrt(values * 200 / 0.6) / (2 * math.pi)
    expected = [formulas.natural_frequency(800, 1000, 200, 0.6, *mode) for mode in ((1, 1), (1, 2), (2, 1))]
    assert found == pytest.approx(expected, rel=1e-3)  # second order in a step of 1/64


def test_self_weight_sag_is_the_poisson_solution() -> None:
    w = spsolve(laplacian(0.8, 1.0, 80, 100), np.full(79 * 99, 0.6 * 9.80665 / 200)).reshape(79, 99)
    assert formulas.self_weight_sag(800, 1000, 0.6, 200) == pytest.approx(1000 * w[39, 49], rel=2e-4)
    assert w.max() == pytest.approx(w[39, 49])


@pytest.mark.parametrize(("a", "b", "side"), [(0.8, 1.0, 0.1), (0.6, 0.6, 0.15), (0.4, 1.2, 0.3)])
def test_press_is_the_poisson_solution_under_the_pad(a: float, b: float, side: float) -> None:
    def centre(n: int) -> float:
        nx, ny = round(a * n), round(b * n)
        load = np.outer(pad(a, nx, side), pad(b, ny, side)).ravel() / side**2
        w = spsolve(laplacian(a, b, nx, ny), load).reshape(nx - 1, ny - 1)
        return float(w[nx // 2 - 1, ny // 2 - 1])

    coarse, fine = centre(60), centre(120)
    richer = fine + (fine - coarse) / 3  # Richardson: the error falls with the square of the step
    assert formulas.press_coefficient(1000 * a, 1000 * b, 1000 * side) == pytest.approx(richer, rel=2e-3)


@pytest.mark.parametrize(("a", "b", "p"), [(800, 1000, 50), (1000, 800, 300), (600, 600, 600), (400, 2000, 25)])
def test_press_closed_form_is_the_double_series(a: float, b: float, p: float) -> None:
    m = np.arange(1, 3001, 2)
    across = np.sin(m * np.pi * p / (2 * a)) / m
    along = np.sin(m * np.pi * p / (2 * b)) / m
    total = (across[:, None] * along[None, :] / ((m[:, None] / a) ** 2 + (m[None, :] / b) ** 2)).sum()
    assert formulas.press_coefficient(a, b, p) == pytest.approx(16 * total / (np.pi**4 * p * p), rel=1e-6)


@pytest.mark.parametrize("aspect", [1.0, 1.5, 2.0, 7.0])
def test_sag_closed_form_is_the_double_series(aspect: float) -> None:
    m = np.arange(1, 4001, 2)
    sign = (-1.0) ** ((m - 1) // 2)
    total = (np.outer(sign / m, sign / m) / (m[:, None] ** 2 + (m[None, :] / aspect) ** 2)).sum()
    assert formulas.sag_coefficient(aspect) == pytest.approx(16 * total / np.pi**4, rel=1e-6)


@pytest.mark.parametrize(("depth", "span"), [(10, 1000), (60, 900), (200, 800)])
def test_arcs_are_the_integrals_of_their_slopes(depth: float, span: float) -> None:
    parabola, _ = integrate.quad(lambda x: math.hypot(1, 8 * depth * x / span**2), -span / 2, span / 2)
    assert formulas.parabola_arc(depth, span) == pytest.approx(parabola, rel=1e-10)
    radius = (span**2 / 4 + depth**2) / (2 * depth)
    circle, _ = integrate.quad(lambda x: radius / math.sqrt(radius**2 - x**2), -span / 2, span / 2)
    assert formulas.circular_arc(depth, span) == pytest.approx(circle, rel=1e-10)


def test_air_carried_is_the_potential_of_a_disc_integrated() -> None:
    # On a disc that moves broadside at unit speed the potential is 2/pi sqrt(r0^2 - r^2), with both sides alike.
    r0 = math.sqrt(1 / math.pi)
    mass, _ = integrate.quad(lambda r: 2 * 1.2 * (2 / math.pi) * math.sqrt(r0**2 - r**2) * 2 * math.pi * r, 0, r0)
    assert formulas.air_carried_mass(1000, 1000) == pytest.approx(mass, rel=1e-8)


@pytest.mark.parametrize("nu", [0.0, 0.2, 0.25, 0.3, 0.34, 0.5])
def test_hencky_by_shooting(nu: float) -> None:
    # Radius, load and E h are 1: u is the radial displacement, n the radial tension, w the deflection.
    c = 1 / (1 - nu**2)

    def slopes(r: float, y: np.ndarray) -> list[float]:
        u, n, _ = y
        radial = n / c - nu * u / r
        slope = -r / (2 * n)
        return [radial - slope**2 / 2, (c * (u / r + nu * radial) - n) / r, slope]

    def shoot(strain: float) -> np.ndarray:
        start = 1e-4
        first = [strain * start, c * (1 + nu) * strain, 0.0]
        return integrate.solve_ivp(slopes, (start, 1), first, rtol=1e-9, atol=1e-12, method="LSODA").y[:, -1]

    strain = optimize.brentq(lambda e: shoot(e)[0], 0.38 * (1 - nu), 0.5 * (1 - nu), xtol=1e-10)
    assert formulas.hencky_coefficient(nu) == pytest.approx(-shoot(strain)[2], abs=2e-6)


def beam(spans: int, held: bool, per_span: int = 60) -> tuple[np.ndarray, np.ndarray]:
    """Deflection and reactions of an Euler–Bernoulli beam over unit spans, with E I and the even load 1."""
    h, count = 1 / per_span, spans * per_span
    stiff = np.array([[12, 6 * h, -12, 6 * h], [6 * h, 4 * h * h, -6 * h, 2 * h * h]])
    stiff = np.vstack([stiff, [[-12, -6 * h, 12, -6 * h], [6 * h, 2 * h * h, -6 * h, 4 * h * h]]]) / h**3
    whole, load = np.zeros((2 * count + 2, 2 * count + 2)), np.zeros(2 * count + 2)
    for i in range(count):
        at = slice(2 * i, 2 * i + 4)
        whole[at, at] += stiff
        load[at] += np.array([h / 2, h * h / 12, h / 2, -h * h / 12])
    shut = [2 * per_span * i for i in range(spans + 1)] + ([1, 2 * count + 1] if held else [])
    open_ = np.setdiff1d(np.arange(2 * count + 2), shut)
    moved = np.zeros(2 * count + 2)
    moved[open_] = np.linalg.solve(whole[np.ix_(open_, open_)], load[open_])
    return moved[::2], (load - whole @ moved)[shut[: spans + 1]]


@pytest.mark.parametrize("spans", [1, 2, 3, 4, 5, 7])
def test_braced_bars_are_the_finite_elements(spans: int) -> None:
    deflection, reaction = beam(spans, held=False)
    largest, place, _, middle = formulas.continuous_beam(spans)
    assert largest == pytest.approx(deflection.max(), rel=1e-3)  # the deepest node is up to 1/120 off the deepest point
    where = np.argmax(deflection) / 60
    assert min(abs(where - place), abs(spans - where - place)) < 1 / 60
    assert formulas.end_reaction(1.0, 1000.0 * spans, spans - 1) == pytest.approx(reaction[0], rel=1e-6)
    if spans > 1:
        assert middle == pytest.approx(reaction[1:-1].max(), rel=1e-6)
        assert formulas.brace_force(1.0, 1000.0 * spans, spans - 1) == pytest.approx(middle)


@pytest.mark.parametrize("braces", [0, 1, 2, 3])
def test_bracket_is_the_finite_elements_with_held_and_free_ends(braces: int) -> None:
    length = 1.8 / (braces + 1)
    unit = 1000 * 150 * length**4 / (9e9 * 0.022 * 0.045**3 / 12)
    expected = [unit * beam(braces + 1, held)[0].max() for held in (True, False)]
    assert formulas.inward_bow_bracket(150, 1800, 45, 22, 9000, braces) == pytest.approx(expected, rel=1e-3)


def test_centre_loads_are_the_integrals_of_their_curvature() -> None:
    # Unit-load method: half the bar twice; M = P x / 2, less P L / 8 at held ends.
    simple = 2 * integrate.quad(lambda x: (48 * x / 2) * (x / 2) / 1000, 0, 0.5)[0]
    held = 2 * integrate.quad(lambda x: (48 * x / 2 - 6) * (x / 2 - 1 / 8) / 1000, 0, 0.5)[0]
    assert formulas.simple_beam_centre_load(48, 1000, 1000) == pytest.approx(1000 * simple)
    assert formulas.fixed_beam_centre_load(48, 1000, 1000) == pytest.approx(1000 * held)


@pytest.mark.parametrize("z", [-6.0, -2.5, -0.3, 0.0, 0.7, 1.645, 4.0])
def test_conformance_is_the_normal_distribution(z: float) -> None:
    assert formulas.conformance_upper(10 - 0.6 * z, 10, 0.6) == pytest.approx(stats.norm.cdf(z), rel=1e-9)
    assert formulas.conformance_lower(10 + 0.6 * z, 10, 0.6) == pytest.approx(stats.norm.cdf(z), rel=1e-9)
    both = stats.norm.cdf(z + 1) - stats.norm.cdf(z - 1)
    assert formulas.conformance_interval(0.6 * z, -0.6, 0.6, 0.6) == pytest.approx(both, rel=1e-6, abs=1e-12)


@pytest.mark.parametrize("probability", [0.5, 0.8, 0.95, 0.99, 0.9999, 0.999999])
def test_guard_band_is_the_normal_quantile(probability: float) -> None:
    assert formulas.guard_band(2.0, probability) == pytest.approx(2 * stats.norm.ppf(probability), abs=1e-8)


def test_rectangular_is_the_deviation_of_an_even_spread() -> None:
    assert formulas.rectangular_uncertainty(0.7) == pytest.approx(stats.uniform(-0.7, 1.4).std())
