"""The glazing formulas against other ways to the same number: a plate and a diffusion by finite differences, waves, exact arcs."""

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import sparse
from scipy.integrate import solve_ivp
from scipy.sparse.linalg import spsolve

from hangworthy_glazing import formulas


def plate_with_held_edges(width: float, height: float, curvature: float, poisson: float, cells: int) -> float:
    """The middle of a plate that would bend to a curvature, its edges flat and free to turn: ∇⁴w = 0, w = 0, w_nn = −(1 + ν) κ.

    Finite differences of second order on the biharmonic equation, the edge moment put in by points outside the plate.
    """
    hx, hy = width / cells, height / cells
    inner = cells - 1
    edge = -(1 + poisson) * curvature

    def second(step: float) -> Any:
        return sparse.diags([1.0, -2.0, 1.0], [-1, 0, 1], shape=(inner, inner)) / step**2

    def fourth(step: float) -> tuple[Any, Any]:
        """The fourth difference and what the edge moment adds to it: the point outside is edge · step² less the one inside."""
        matrix = sparse.diags([1.0, -4.0, 6.0, -4.0, 1.0], [-2, -1, 0, 1, 2], shape=(inner, inner)).tolil()
        added = np.zeros(inner)
        for place in (0, inner - 1):
            matrix[place, place] -= 1.0
            added[place] = edge * step**2
        return matrix.tocsr() / step**4, added / step**4

    (dx, ax), (dy, ay) = fourth(hx), fourth(hy)
    one = sparse.identity(inner)
    biharmonic = sparse.kron(dx, one) + 2 * sparse.kron(second(hx), second(hy)) + sparse.kron(one, dy)
    load = -(np.repeat(ax, inner) + np.tile(ay, inner))
    # Along an edge itself w is 0, so the mixed term meets no value from outside.
    found = spsolve(biharmonic.tocsc(), load).reshape(inner, inner)
    return float(found[inner // 2, inner // 2])


@pytest.mark.parametrize(("width", "height"), [(600.0, 600.0), (600.0, 800.0), (500.0, 1200.0)])
def test_a_bow_with_held_edges_is_that_of_a_plate_by_finite_differences(width: float, height: float) -> None:
    want = plate_with_held_edges(width, height, 1e-4, 0.37, 48)
    assert formulas.held_bow(1e-4, width, height, 0.37) == pytest.approx(want, rel=2e-3)


def strip_by_integration(curvature: float, length: float) -> float:
    """The rise of an elastica of constant curvature from its middle to its end."""
    path = solve_ivp(lambda s, y: [math.sin(curvature * s)], (0.0, length / 2), [0.0], rtol=1e-10, atol=1e-10)
    return float(path.y[0, -1])


@given(st.floats(1e-6, 1e-3), st.floats(50.0, 3000.0))
def test_the_flat_arc_is_close_to_the_exact_one(curvature: float, length: float) -> None:
    if curvature * length > 1.0:
        with pytest.raises(ValueError):
            formulas.bow_depth(curvature, length)
        return
    exact = formulas.exact_bow_depth(curvature, length)
    assert exact <= formulas.bow_depth(curvature, length) * (1 + 1e-12)
    assert formulas.bow_depth(curvature, length) <= exact * 1.0215


@pytest.mark.parametrize(("curvature", "length"), [(1e-4, 1000.0), (2.5e-4, 1500.0), (1e-3, 1000.0)])
def test_the_exact_arc_is_an_elastica_of_constant_curvature(curvature: float, length: float) -> None:
    assert formulas.exact_bow_depth(curvature, length) == pytest.approx(strip_by_integration(curvature, length), rel=1e-7)


def bows_on_the_way(sealed: bool) -> np.ndarray:
    """How a sheet bows while damp enters by one face: curvature over strain / thickness, in time.

    Diffusion through the thickness; the curvature of a sheet with free edges is that of the linear part of its strain,
    12 ∫ e (z − 1/2) dz.
    """
    points = 201
    z = np.linspace(0.0, 1.0, points)
    step = z[1] - z[0]

    def rate(_: float, level: np.ndarray) -> np.ndarray:
        change = np.zeros(points)
        change[1:-1] = (level[2:] - 2 * level[1:-1] + level[:-2]) / step**2
        if sealed:
            change[0] = 2 * (level[1] - level[0]) / step**2
        return change

    start = np.zeros(points)
    start[-1] = 1.0
    times = np.concatenate([np.linspace(0.002, 0.3, 120), [5.0]])
    levels = solve_ivp(rate, (0.0, 5.0), start, t_eval=times, method="BDF", rtol=1e-6, atol=1e-8).y
    return np.array([12 * np.trapezoid(level * (z - 0.5), z) for level in levels.T])


def test_damp_on_its_way_in_bows_a_sheet_no_more_than_in_the_end() -> None:
    both, sealed = bows_on_the_way(False), bows_on_the_way(True)
    assert both[-1] == pytest.approx(1.0, abs=1e-3)
    assert sealed[-1] == pytest.approx(0.0, abs=1e-3)
    assert both.max() < 1.001
    assert 0.9 < sealed.max() < 1.0  # an open face and a sealed one: nearly as far, and back again


def layers(indices: list[float], thicknesses: list[float], wavelength: float) -> float:
    """Share of light thrown back by a stack of thin layers between the first and the last medium: characteristic matrices."""
    matrix = np.eye(2, dtype=complex)
    for index, thickness in zip(indices[1:-1], thicknesses, strict=True):
        phase = 2 * math.pi * index * thickness / wavelength
        matrix = matrix @ np.array([[math.cos(phase), 1j * math.sin(phase) / index], [1j * index * math.sin(phase), math.cos(phase)]])
    first, last = indices[0], indices[-1]
    b, c = matrix @ np.array([1.0, last])
    return float(abs((first * b - c) / (first * b + c)) ** 2)


@given(st.floats(1.3, 2.5), st.floats(1.1, 1.8))
def test_coatings_are_as_the_waves_give_them(index: float, coating: float) -> None:
    assert formulas.surface_reflectance(index) == pytest.approx(layers([1.0, index], [], 550.0), abs=1e-12)
    quarter = 550.0 / 4 / coating
    assert formulas.coated_reflectance(index, coating) == pytest.approx(layers([1.0, coating, index], [quarter], 550.0), abs=1e-12)


@given(st.floats(1.3, 2.5))
def test_a_thick_pane_is_the_mean_of_a_thin_one_over_a_fringe(index: float) -> None:
    """With waves added, a parallel plate throws back more and less by turns; a thick pane shows the mean."""
    fringe = np.linspace(0.0, 0.5 / index, 2001)[:-1]
    mean = float(np.mean([layers([1.0, index, 1.0], [thickness], 1.0) for thickness in fringe[::20]]))
    assert formulas.pane_reflectance(formulas.surface_reflectance(index)) == pytest.approx(mean, rel=1e-6)
