"""Tapered sections: cones and wedges in closed form, statics, energy."""

import numpy as np
import pytest
from section_cases import membrane, metal, mixed_walls, stiffness_of
from tapering import oblique, resultants, tapered_on

from beam.section import rounded_box, solve
from beam.section.outline import box, round_tube
from beam.section.taper import tapered

METAL = membrane(metal(1e-3).abd, share=1e-10)
PLACES = np.linspace(0.0, 1.0, 9)
BOX = {"width": (0.112, 0.076), "height": (0.082, 0.060), "radius": (0.022, 0.016)}


def tapered_box(abd, thickness=3e-3, ends=(0.2, 0.24), length=0.62, sizes=BOX):
    def outline_at(s):
        at = [a + (b - a) * s / length for a, b in sizes.values()]
        return rounded_box(*at, np.broadcast_to(thickness, (len(s), 8)))

    return tapered_on(outline_at, abd, ends)


def test_a_cone_carries_loads_as_the_membrane_theory_says():
    """N, T and V, M of a conical shell, which equilibrium alone gives (W. Flugge, Stresses in Shells; from memory)."""
    R0, k = 0.05, -0.04
    s, taper = tapered_on(lambda s: round_tube(R0 + k * s), np.stack([METAL] * 4), (0.1, 0.13))
    R = (R0 + k * s)[:, None, None]
    loads = taper.recovery(PLACES)
    r = taper.states.contour.position(PLACES)
    sin, cos = r[..., 0] / R, r[..., 1] / R
    c = np.hypot(1, k)
    size = 1 / (np.pi * R.min() ** 2)
    along, shear = loads[..., 0, :], loads[..., 2, :]
    for force, axial, flow in (
        (0, c / (2 * np.pi * R) + 0 * sin, 0 * sin),
        (3, 0 * sin, -1 / (2 * np.pi * R**2) + 0 * sin),
        (4, c * cos / (np.pi * R**2), k * sin / (np.pi * R**2)),
        (5, -c * sin / (np.pi * R**2), k * cos / (np.pi * R**2)),
        (2, 0 * sin, -sin / (np.pi * R)),
        (1, 0 * sin, cos / (np.pi * R)),
    ):
        np.testing.assert_allclose(along[..., force], axial, atol=1e-7 * size)
        np.testing.assert_allclose(shear[..., force], flow, atol=1e-7 * size)


def wedge(half, distance=0.3):
    """Two webs that taper to a point, joined by caps of next to no stiffness; wall loads on one web, and its angles."""
    abd = np.stack([METAL * share for share in (1e-7, 1.0, 1e-7, 1.0)])
    wide, tan = 0.05, np.tan(half)
    s, taper = tapered_on(
        lambda s: box(wide, 2 * (1.0 - s) * tan), abd, (1 - distance - 0.005, 1 - distance + 0.005)
    )
    at = np.linspace(0.0, 1.0, 17)
    loads = taper.recovery(at)[:, 1]
    xi = 1.0 - s
    angle = np.arctan((1 - 2 * at) * tan)
    return loads, angle, (xi[:, None] / np.cos(angle)), xi


@pytest.mark.parametrize(("state", "most"), [("push", 0.06), ("side", 0.06), ("turn", 0.08)])
def test_wedges_in_closed_form(state, most):
    """A plane wedge loaded at its apex (Timoshenko & Goodier, Theory of Elasticity, art. 38; from memory).

    Push and side force make radial stress alone. What the strut leaves out falls with the square of the angle.
    """
    errors = []
    halves = np.array([0.05, 0.1, 0.2])
    for a in halves:
        loads, angle, r, xi = wedge(a)
        # forces of a load at the apex, per web: outward of the section xi from it, M2 = -xi V3
        F = np.zeros((len(xi), 6))
        if state == "push":
            F[:, 0], radial, shear = 2.0, np.cos(angle) / (r * (a + np.sin(2 * a) / 2)), 0 * r
        elif state == "side":
            F[:, 2], F[:, 4] = 2.0, -2.0 * xi
            radial, shear = -np.sin(angle) / (r * (a - np.sin(2 * a) / 2)), 0 * r
        else:
            F[:, 4], whole = 2.0, np.sin(2 * a) - 2 * a * np.cos(2 * a)
            radial = 2 * np.sin(2 * angle) / (r**2 * whole)
            shear = (np.cos(2 * angle) - np.cos(2 * a)) / (r**2 * whole)
        found = np.einsum("swif,sf->swi", loads, F)
        size = np.abs(radial).max()
        if state != "turn":
            assert np.abs(found[..., 2]).max() < 1e-5 * size, "no shear along generators"
        errors.append(
            [np.abs(found[..., 0] - radial).max(), np.abs(np.abs(found[..., 2]) - np.abs(shear)).max()] / size
        )
    along, across = np.transpose(errors)
    assert along[-1] < most
    assert np.polyfit(np.log(halves), np.log(along), 1)[0] == pytest.approx(2.0, abs=0.25)
    if state == "turn":
        assert across[-1] < most * 0.2
        assert np.polyfit(np.log(halves), np.log(across), 1)[0] > 2.0


def test_wall_loads_return_the_section_forces():
    """The resultants of Megson, section 10.1: the inclined walls' share of V and T counted."""
    shares = 1 + np.arange(8) % 3
    _, taper = tapered_box(np.stack([METAL * share for share in shares]))
    np.testing.assert_allclose(resultants(taper), np.broadcast_to(np.eye(6), (8, 6, 6)), rtol=0, atol=1e-10)


def test_walls_of_unequal_thickness_return_them_with_the_flow_between_walls():
    thick = 1e-3 * (1 + np.arange(8) % 3)
    _, taper = tapered_box(stiffness_of([metal(t) for t in thick]), thick)
    error = resultants(taper) - np.eye(6)
    np.testing.assert_allclose(error[:, [0, 4, 5]], 0.0, rtol=0, atol=1e-10)
    np.testing.assert_allclose(error[:, 3][:, [0, 3, 4, 5]], 0.0, rtol=0, atol=1e-10)
    np.testing.assert_allclose(error, 0.0, rtol=0, atol=1e-3)


def test_walls_that_couple_shear_flow_with_tension_return_them_to_the_square_of_the_slope():
    errors = []
    for part in (1.0, 0.5, 0.25):
        sizes = {name: (a, a + part * (b - a)) for name, (a, b) in BOX.items()}
        _, taper = tapered_box(membrane(stiffness_of(mixed_walls())), sizes=sizes)
        found = resultants(taper)
        np.testing.assert_allclose(
            found[:, [0, 4, 5]], np.eye(6)[[0, 4, 5]] + 0 * found[:, :3], rtol=0, atol=1e-10
        )
        errors.append(np.abs(found - np.eye(6)).max())
    assert errors[0] < 2e-3
    assert np.polyfit(np.log([1.0, 0.5, 0.25]), np.log(errors), 1)[0] > 1.8


def test_a_moment_makes_shear_flow_and_an_axial_force_only_where_the_outline_changes_its_shape():
    same_shape = {"width": (0.1, 0.06), "height": (0.08, 0.048), "radius": (0.02, 0.012)}
    _, taper = tapered_box(np.stack([METAL] * 8), 1e-9, sizes=same_shape)
    at = np.array([0.0, 0.5, 1.0])
    Nx, q, slope = oblique(taper, taper.recovery(at), at)
    assert np.abs(slope).max() > 0.02
    change = np.abs(q - taper.states.recovery(at)[..., 2, :]).max(axis=(0, 1, 2))
    assert (change[4:] > 1.0).all()
    assert change[0] < 1e-9 * np.abs(Nx).max()
    assert change[3] < 1e-9 * np.abs(q).max()


def test_a_prismatic_section_keeps_its_loads_to_the_last_digit():
    _, taper = tapered_box(
        stiffness_of(mixed_walls()), 0.5e-3, sizes={k: (v[0], v[0]) for k, v in BOX.items()}
    )
    np.testing.assert_array_equal(taper.recovery(PLACES), taper.states.recovery(PLACES))
    np.testing.assert_array_equal(taper.compliance, taper.states.compliance)


def test_compliance_is_the_energy_of_the_wall_loads():
    abd = stiffness_of(mixed_walls())
    _, taper = tapered_box(abd, [wall.thickness for wall in mixed_walls()])
    x, weight = np.polynomial.legendre.leggauss(24)
    at = (1 + x) / 2
    loads = taper.recovery(at)
    contour, slope = taper.states.contour, taper.slope(at)
    # of the surface between two sections dx apart, normal n = e1 x t
    stretch = np.sqrt(1 + (slope * contour.normal(at)).sum(axis=-1) ** 2)
    area = weight / 2 * contour.length[..., None] * stretch
    energy = np.einsum("swp,swpik,wij,swpjl->skl", area, loads, np.linalg.inv(abd), loads)
    d = 1 / np.sqrt(np.diagonal(energy, axis1=-2, axis2=-1))
    unit = d[:, :, None] * d[:, None, :]
    np.testing.assert_allclose(taper.compliance * unit, energy * unit, atol=1e-10)
    np.testing.assert_allclose(taper.compliance, np.swapaxes(taper.compliance, -1, -2))
    assert np.linalg.eigvalsh(taper.compliance * unit).min() > 1e-6


def test_taper_relieves_the_webs_and_makes_a_moment_shear_them():
    """Toward a narrower tip a transverse force at the tip is partly carried by the caps' inclination."""
    s, taper = tapered_box(np.stack([METAL] * 8))
    lever = 0.62 - s
    V3 = np.zeros((len(s), 6))
    V3[:, 2], V3[:, 4] = 1.0, -lever
    new = np.einsum("swpif,sf->swpi", taper.recovery(PLACES), V3)[..., 2]
    old = np.einsum("swpif,sf->swpi", taper.states.recovery(PLACES), V3)[..., 2]
    assert (np.abs(new).max(axis=(1, 2)) < 0.85 * np.abs(old).max(axis=(1, 2))).all()


def test_three_sections_a_step_apart_give_the_same():
    """Central differences in place of the polynomial through eight sections: as sizing may take it."""
    abd = np.stack([METAL] * 8)
    s, whole = tapered_box(abd)
    step = 1e-3
    sizes = [a + (b - a) * (s[3] + step * np.array([-1.0, 0.0, 1.0])) / 0.62 for a, b in BOX.values()]
    states = solve(rounded_box(*sizes, np.full((3, 8), 3e-3)), abd)

    def along(values):
        return np.broadcast_to((values[2] - values[0]) / (2 * step), values.shape)

    found = tapered(states, np.broadcast_to(abd, states.law.shape), along)
    loads = whole.recovery(PLACES)[3]
    np.testing.assert_allclose(found.recovery(PLACES)[1], loads, rtol=0, atol=1e-6 * np.abs(loads).max())
    np.testing.assert_allclose(found.compliance[1], whole.compliance[3], rtol=1e-6, atol=1e-14)
