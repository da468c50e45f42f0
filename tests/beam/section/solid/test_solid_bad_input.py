"""What cannot be is refused with a message that says what, and what is missing is named."""

import subprocess
import sys
from functools import partial

import numpy as np
import pytest
from section_cases import carbon, metal
from solid_cases import ellipse, metal3d, ply3d, rectangle, strip

from beam.section import Section, network
from beam.section.solid import Orthotropic, SolidMesh, mesh_walls, ply_stress, solve
from laminate import Laminate
from materials import Lamina, Source

METAL = Orthotropic.isotropic(70e9, 0.3)
NINE = {
    "E1": 140e9, "E2": 10e9, "E3": 10e9, "G23": 3.5e9, "G13": 5e9, "G12": 5e9,
    "nu23": 0.4, "nu13": 0.3, "nu12": 0.3,
}  # fmt: skip


def tape(**changes):
    values = {
        "E1": 140e9,
        "E2": 10e9,
        "G12": 5e9,
        "nu12": 0.3,
        "thickness": 1e-4,
        "density": 1600.0,
    } | changes
    return Lamina(name="tape", source=Source("test material, no source"), **values)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"E3": 0.0}, r"E3 \[Pa\]: got 0, must be > 0"),
        ({"G23": -1.0}, "G23"),
        ({"nu23": np.nan}, "nu23.*finite"),
        ({"nu23": 1.1}, "positive definite"),
        ({"nu13": 4.0}, "positive definite"),
    ],
)
def test_constants(change, message):
    with pytest.raises(ValueError, match=message):
        Orthotropic(**(NINE | change))


@pytest.mark.parametrize("nu", [-1.0, 0.5, np.nan])
def test_isotropic(nu):
    with pytest.raises(ValueError, match="nu"):
        Orthotropic.isotropic(70e9, nu)


def test_nothing_is_guessed_for_a_ply():
    with pytest.raises(ValueError, match="neither G23 nor nu23"):
        Orthotropic.transversely_isotropic(tape())
    with pytest.raises(ValueError, match="no G13, G23"):
        Orthotropic.from_lamina(tape(), E3=10e9, nu13=0.3, nu23=0.4)
    with pytest.raises(ValueError, match=r"G23.*nine constants"):
        Orthotropic.transversely_isotropic(tape(G23=3e9), nu23=0.2)
    with pytest.raises(ValueError, match=r"G13.*nine constants"):
        Orthotropic.transversely_isotropic(tape(G13=4e9), nu23=0.4)


def test_ways_to_the_constants_agree():
    """E2 / (2 (1 + nu23)) = G23 either way round; a metal is isotropic by its own G."""
    by_ratio = Orthotropic.transversely_isotropic(tape(), nu23=0.4)
    by_modulus = Orthotropic.transversely_isotropic(tape(G23=10e9 / 2.8))
    np.testing.assert_allclose(by_modulus.stiffness, by_ratio.stiffness, rtol=1e-12)
    whole = Orthotropic.from_lamina(tape(G13=5e9, G23=10e9 / 2.8), E3=10e9, nu13=0.3, nu23=0.4)
    np.testing.assert_allclose(whole.stiffness, by_ratio.stiffness, rtol=1e-12)
    metal_ply = metal(0.001).plies[0].lamina
    np.testing.assert_allclose(metal3d(metal_ply).stiffness, METAL.stiffness, atol=1.0)


def one_element(**changes):
    grid = rectangle(1.0, 1.0, METAL, count=(2, 1))
    fields = {
        "points": grid.points,
        "elements": grid.elements,
        "constants": grid.constants,
        "material": 0,
        "angle_deg": 0.0,
        "tangent": 0.0,
    }
    return SolidMesh(**(fields | changes))


def test_mesh():
    grid = rectangle(1.0, 1.0, METAL, count=(2, 1))
    turned = grid.elements[:, [0, 3, 2, 1, 7, 6, 5, 4, 8]]
    flat = grid.points * (1.0, 0.0)
    apart = np.concatenate([grid.points, grid.points + (3.0, 0.0)])
    with pytest.raises(ValueError, match="turned over or folded"):
        one_element(elements=turned)
    with pytest.raises(ValueError, match="zero thickness"):
        one_element(points=flat)
    with pytest.raises(ValueError, match=r"2 pieces.*do not close"):
        one_element(points=apart, elements=np.concatenate([grid.elements, grid.elements + len(grid.points)]))
    with pytest.raises(ValueError, match="unused"):
        one_element(points=np.concatenate([grid.points, [[5.0, 5.0]]]))
    with pytest.raises(ValueError, match=r"\(element, 9\)"):
        one_element(elements=grid.elements[:, :4])
    with pytest.raises(ValueError, match="whole numbers"):
        one_element(elements=grid.elements + 0.5)
    with pytest.raises(ValueError, match="material"):
        one_element(material=1)
    with pytest.raises(ValueError, match="finite"):
        one_element(angle_deg=np.nan)


def test_the_mesh_keeps_its_own_arrays():
    grid = rectangle(1.0, 1.0, METAL, count=(2, 1))
    for name in ("points", "elements", "material", "angle_deg", "tangent"):
        assert not getattr(grid, name).flags.writeable


@pytest.mark.parametrize("count", [0, -1, 2.0])
def test_counts(count):
    with pytest.raises(ValueError, match="count"):
        rectangle(1.0, 1.0, METAL, count=(count, 1))
    with pytest.raises(ValueError, match="count"):
        ellipse(1.0, 1.0, METAL, count=count)


@pytest.mark.parametrize("size", [0.0, -0.1, np.nan])
def test_sizes(size):
    with pytest.raises(ValueError, match=r"height \[m\]"):
        rectangle(1.0, size, METAL, count=(1, 1))
    with pytest.raises(ValueError, match=r"width \[m\]"):
        ellipse(size, 1.0, METAL, count=1)
    with pytest.raises(ValueError, match=r"size \[m\]"):
        mesh_walls(Section.tube(0.05, metal(0.002)), metal3d, size=size)


def test_walls():
    box = Section.box(0.06, 0.04, metal(0.002))
    with pytest.raises(ValueError, match="per_layer"):
        mesh_walls(box, metal3d, size=0.01, per_layer=0)
    two_cells = network(
        [[-1, 1], [0, 1], [1, 1], [1, -1], [0, -1], [-1, -1]],
        [[0, 1], [1, 2], [2, 3], [3, 4], [4, 5], [5, 0], [1, 4]],
    )
    with pytest.raises(ValueError, match="3 walls at one joint"):
        mesh_walls(Section(two_cells, (metal(0.01),) * 7), metal3d, size=0.5)
    upside = network([[0, 0], [1, 0], [2, 0]], [[1, 2], [0, 1]])
    with pytest.raises(ValueError, match="walls in order"):
        mesh_walls(Section(upside, (metal(0.01),) * 2), metal3d, size=0.5)
    wedge = Section.from_walls([[0.0, 0.0], [0.1, 0.02], [0.1, -0.02]], metal(0.001))
    with pytest.raises(ValueError, match=r"157\.4.* at most 120 sharp; fillet it"):
        mesh_walls(wedge, metal3d, size=0.01)
    stub = Section.from_walls([[-0.03, 0.05], [0.03, 0.05], [0.004, 0], [-0.004, 0]], metal(0.02))
    with pytest.raises(ValueError, match=r"folded.*overlap"):
        mesh_walls(stub, metal3d, size=0.01)


def test_forces_and_places():
    section = solve(mesh_walls(strip(metal(0.002), 0.02), metal3d, size=0.01))
    solid = solve(rectangle(1.0, 1.0, METAL, count=(1, 1)))
    F = np.ones(6)
    with pytest.raises(ValueError, match=r"\(..., 6\)"):
        section.stress(np.ones(5))
    with pytest.raises(ValueError, match="finite"):
        section.stress(F * np.nan)
    with pytest.raises(ValueError, match="from 0 to 1"):
        section.stress(F, ((0.5, 1.5),))
    with pytest.raises(ValueError, match="one of 'section', 'wall', 'ply'"):
        section.stress(F, axes="global")
    with pytest.raises(ValueError, match="mesh_walls"):
        ply_stress(solid, F, 0)
    with pytest.raises(ValueError, match="wall"):
        ply_stress(section, F, 1)
    with pytest.raises(ValueError, match="at"):
        ply_stress(section, F, 0, 1.5)


def test_missing_library_says_which_extra(monkeypatch):
    monkeypatch.setitem(sys.modules, "skfem", None)
    with pytest.raises(ImportError, match=r"plystrut\[fe\]"):
        solve(rectangle(1.0, 1.0, METAL, count=(1, 1)))


def test_import_does_not_load_the_library():
    code = "import sys, beam, beam.section.solid; assert 'skfem' not in sys.modules"
    subprocess.run([sys.executable, "-c", code], check=True)


def test_laminae_are_looked_up_one_by_one():
    """A dict will do; a lamina it does not hold is a KeyError of the caller's."""
    thin, thick = carbon(), carbon(0.2e-3)
    wall = Laminate((*Laminate.from_code("[0]", thin).plies, *Laminate.from_code("[90]", thick).plies))
    table = {thin: ply3d(thin), thick: Orthotropic.transversely_isotropic(thick, nu23=0.3)}
    mesh = mesh_walls(strip(wall, 0.01), table.__getitem__, size=0.01)
    assert mesh.constants == tuple(table.values())
    assert mesh.material.tolist() == [0, 1]
    with pytest.raises(KeyError):
        mesh_walls(strip(wall, 0.01), {thin: ply3d(thin)}.__getitem__, size=0.01)
    assert partial(Orthotropic.transversely_isotropic, nu23=0.4)(thin) == table[thin]
