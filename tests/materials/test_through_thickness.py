"""Through the thickness of a ply: what symmetry gives, what must be said."""

from dataclasses import replace

import numpy as np
import pytest

from materials import Lamina, Source, lamina
from materials.through_thickness import through_thickness

SOURCE = Source("made up for tests")
TAPE = Lamina(
    name="tape", kind="tape", E1=140e9, E2=9e9, G12=5e9, nu12=0.3, G23=3.2e9, thickness=0.2e-3, density=1600.0,
    alpha1=-0.3e-6, alpha2=28e-6, beta1=0.01, beta2=0.5, source=SOURCE,
)  # fmt: skip
CLOTH = Lamina(
    name="cloth", kind="fabric", E1=56e9, E2=54e9, G12=4.2e9, nu12=0.05, thickness=0.2e-3, density=1500.0,
    source=SOURCE,
)  # fmt: skip
ALIKE = {"E1": 70e9, "E2": 70e9, "G12": 70e9 / 2.6, "nu12": 0.3}
SAID = {"E3": 9e9, "nu13": 0.35, "nu23": 0.3, "alpha3": 5e-5}


def test_a_unidirectional_ply_is_alike_across_its_fibers():
    assert through_thickness(TAPE) == pytest.approx((9e9, 0.3, 9e9 / 6.4e9 - 1, 28e-6, 0.5))


@pytest.mark.parametrize("name", ["AS4/3501-6", "T300/BSL914C", "E-glass/MY750", "E-glass/LY556"])
def test_published_nu23_goes_with_published_G23(name):
    """Soden, Hinton & Kaddour, Compos. Sci. Technol. 58 (1998) 1011-1022, Table 1 (from memory): nu23 0.4."""
    ply = lamina(name)
    assert through_thickness(ply).nu23 == 0.4
    assert through_thickness(replace(ply, nu23=None)).nu23 == pytest.approx(0.4, abs=2e-3)


def test_an_isotropic_ply_is_alike_everywhere():
    G = dict.fromkeys(("G12", "G13", "G23"), 70e9 / 2.6)
    metal = replace(CLOTH, E1=70e9, E2=70e9, **G, nu12=0.3, alpha1=2.3e-5, alpha2=2.3e-5)
    assert through_thickness(metal) == pytest.approx((70e9, 0.3, 0.3, 2.3e-5, 0.0))


def test_what_is_said_holds():
    assert through_thickness(replace(CLOTH, **SAID)) == (9e9, 0.35, 0.3, 5e-5, 0.0)
    assert through_thickness(replace(TAPE, E3=8e9, nu13=0.31, nu23=0.5, alpha3=3e-5, beta3=0.4)) == (
        8e9, 0.31, 0.5, 3e-5, 0.4)  # fmt: skip


@pytest.mark.parametrize(
    ("ply", "missing"),
    [
        (CLOTH, "no E3, nu13, nu23, alpha3, must"),
        (replace(CLOTH, beta1=0.1, **SAID), "no beta3"),
        (replace(CLOTH, beta2=0.1, **SAID), "no beta3"),
        (replace(CLOTH, **SAID | {"alpha3": None}), "no alpha3"),
        (replace(TAPE, G23=None), "no nu23"),
        (replace(TAPE, E3=8e9), "no nu23"),
        (replace(CLOTH, E1=70e9, E2=70e9), "no E3"),
        (replace(CLOTH, **ALIKE, alpha1=1e-6, G13=70e9 / 2.6, G23=70e9 / 2.6), "no E3"),
        # a braid in three directions: alike in the plane, resin between its layers
        (replace(CLOTH, **ALIKE), "no E3"),
        (replace(CLOTH, **ALIKE, G13=70e9 / 2.6, G23=3e9), "no E3"),
    ],
)
def test_nothing_is_guessed(ply, missing):
    with pytest.raises(ValueError, match=missing):
        through_thickness(ply)


@pytest.mark.parametrize(
    "change", [{"G23": 1e9}, {"nu23": -1.2}, {"nu13": 5.0}, {"nu23": 0.99, "E3": 9e9, "nu13": 1.0}]
)
def test_refuses_what_would_give_work_for_nothing(change):
    with pytest.raises(ValueError, match="does work"):
        through_thickness(replace(TAPE, **change))


def test_accepts_exactly_what_has_a_positive_definite_compliance():
    rng = np.random.default_rng(4)
    verdicts = []
    for E3, nu13, nu23 in zip(
        rng.uniform(2e9, 60e9, 300), rng.uniform(-3, 3, 300), rng.uniform(-2, 2, 300), strict=True
    ):
        ply = replace(TAPE, E3=float(E3), nu13=float(nu13), nu23=float(nu23))
        s12, s13, s23 = -ply.nu12 / ply.E1, -nu13 / ply.E1, -nu23 / ply.E2
        S = np.array([[1 / ply.E1, s12, s13], [s12, 1 / ply.E2, s23], [s13, s23, 1 / E3]])
        size = np.sqrt(np.diag(S))
        sound = bool(np.linalg.eigvalsh(S / size / size[:, None])[0] > 0)
        verdicts.append(sound)
        if sound:
            assert through_thickness(ply)[:3] == (E3, nu13, nu23)
        else:
            with pytest.raises(ValueError, match="does work"):
                through_thickness(ply)
    assert 50 < sum(verdicts) < 250
