"""Refusals that hold between several inputs of a section on a mesh, and the optional library."""

import subprocess
import sys
from functools import partial

import numpy as np
import pytest
from section_cases import SOURCE, carbon, metal
from solid_cases import ellipse, metal3d, ply3d, rectangle, strip

from beam.section import Section, network
from beam.section.solid import Orthotropic, SolidMesh, mesh_walls, ply_stress, solve
from laminate import Laminate
from materials import Lamina

METAL = Orthotropic.isotropic(70e9, 0.3)
NINE = {
    "E1": 140e9, "E2": 10e9, "E3": 10e9, "G23": 3.5e9, "G13": 5e9, "G12": 5e9,
    "nu23": 0.4, "nu13": 0.3, "nu12": 0.3,
}  # fmt: skip
TWO = rectangle(1.0, 1.0, METAL, count=(2, 1))


def tape(**changes):
    values = {
        "E1": 140e9,
        "E2": 10e9,
        "G12": 5e9,
        "nu12": 0.3,
        "thickness": 1e-4,
        "density": 1600.0,
    } | changes
    return Lamina(name="tape", kind="tape", source=SOURCE, **values)


def two(**changes):
    """The mesh of two elements with other fields."""
    names = ("points", "elements", "constants", "material", "angle_deg", "tangent")
    return SolidMesh(**{name: getattr(TWO, name) for name in names} | changes)


def walls(joints, ends, t=0.01):
    """Section of metal walls between joints."""
    return Section(network(joints, ends), (metal(t),) * len(ends))


TWO_CELLS = (
    [[-1, 1], [0, 1], [1, 1], [1, -1], [0, -1], [-1, -1]],
    [[0, 1], [1, 2], [2, 3], [3, 4], [4, 5], [5, 0], [1, 4]],
)
WEDGE = Section.from_walls([[0.0, 0.0], [0.1, 0.02], [0.1, -0.02]], metal(0.001))
STUB = Section.from_walls([[-0.03, 0.05], [0.03, 0.05], [0.004, 0], [-0.004, 0]], metal(0.02))


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda: Orthotropic(**NINE | {"nu23": 1.1}), "positive definite"),
        (lambda: Orthotropic(**NINE | {"nu13": 4.0}), "positive definite"),
        (lambda: Orthotropic.transversely_isotropic(tape()), "neither G23 nor nu23"),
        (lambda: Orthotropic.from_lamina(tape(), E3=10e9, nu13=0.3, nu23=0.4), "no G13, G23"),
        (lambda: Orthotropic.transversely_isotropic(tape(G23=3e9), nu23=0.2), "G23.*nine constants"),
        (lambda: Orthotropic.transversely_isotropic(tape(G13=4e9), nu23=0.4), "G13.*nine constants"),
        (lambda: two(elements=TWO.elements[:, [0, 3, 2, 1, 7, 6, 5, 4, 8]]), "turned over or folded"),
        (lambda: two(points=TWO.points * (1.0, 0.0)), "zero thickness"),
        (
            lambda: two(
                points=np.concatenate([TWO.points, TWO.points + (3.0, 0.0)]),
                elements=np.concatenate([TWO.elements, TWO.elements + len(TWO.points)]),
                material=[0], angle_deg=[0.0], tangent=np.zeros(9),
            ),
            "2 pieces.*do not close",
        ),
        (lambda: two(points=np.concatenate([TWO.points, [[5.0, 5.0]]])), "unused"),
        (lambda: two(elements=np.zeros((0, 9))), "unused"),
        (lambda: two(material=[1]), "material.*from 0 to 0"),
        (lambda: two(material=[0, 0, 0]), r"material.*one, or \(2,\)"),
        (lambda: two(tangent=np.zeros((2, 8))), r"tangent.*one, or \(2, 9\)"),
        (lambda: mesh_walls(walls(*TWO_CELLS), metal3d, size=0.5), "3 walls at one joint"),
        (lambda: mesh_walls(walls([[0, 0], [1, 0], [2, 0]], [[1, 2], [0, 1]]), metal3d, size=0.5), "walls in order"),
        (lambda: mesh_walls(WEDGE, metal3d, size=0.01), r"157\.4.* at most 120 sharp; fillet it"),
        (lambda: mesh_walls(STUB, metal3d, size=0.01), "folded.*overlap"),
        (lambda: ply_stress(solve(TWO), np.ones(6), 0), "mesh_walls"),
        (lambda: ply_stress(solve(mesh_walls(strip(metal(0.002), 0.02), metal3d, size=0.01)), np.ones(6), 1), "wall"),
    ],
)  # fmt: skip
def test_refused(make, says):
    with pytest.raises(ValueError, match=f"(?s){says}"):
        make()


def test_ways_to_the_constants_agree():
    """E2 / (2 (1 + nu23)) = G23 either way round; a metal is isotropic by its own G."""
    by_ratio = Orthotropic.transversely_isotropic(tape(), nu23=0.4)
    by_modulus = Orthotropic.transversely_isotropic(tape(G23=10e9 / 2.8))
    np.testing.assert_allclose(by_modulus.stiffness, by_ratio.stiffness, rtol=1e-12)
    whole = Orthotropic.from_lamina(tape(G13=5e9, G23=10e9 / 2.8), E3=10e9, nu13=0.3, nu23=0.4)
    np.testing.assert_allclose(whole.stiffness, by_ratio.stiffness, rtol=1e-12)
    np.testing.assert_allclose(metal3d(metal(0.001).plies[0].lamina).stiffness, METAL.stiffness, atol=1.0)


def test_missing_library_says_which_extra(monkeypatch):
    monkeypatch.setitem(sys.modules, "skfem", None)
    with pytest.raises(ImportError, match=r"plystrut\[fe\]"):
        solve(ellipse(1.0, 1.0, METAL, count=1))


def test_import_does_not_load_the_library():
    code = "import sys, beam.section.solid; assert 'skfem' not in sys.modules"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_laminae_are_looked_up_one_by_one():
    """A dict will do; a lamina that is not in it is a KeyError of the caller's."""
    thin, thick = carbon(), carbon(0.2e-3)
    wall = Laminate((*Laminate.from_code("[0]", thin).plies, *Laminate.from_code("[90]", thick).plies))
    table = {thin: ply3d(thin), thick: Orthotropic.transversely_isotropic(thick, nu23=0.3)}
    mesh = mesh_walls(strip(wall, 0.01), table.__getitem__, size=0.01)
    assert mesh.constants == tuple(table.values())
    assert mesh.material.tolist() == [0, 1]
    with pytest.raises(KeyError):
        mesh_walls(strip(wall, 0.01), {thin: ply3d(thin)}.__getitem__, size=0.01)
    assert partial(Orthotropic.transversely_isotropic, nu23=0.4)(thin) == table[thin]
