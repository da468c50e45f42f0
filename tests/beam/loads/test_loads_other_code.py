"""Another code in one file: nothing of `beam.loads` is edited, and everything downstream takes its cases.

The code is invented, and so are its numbers: a lower floor of the load factor than Part 23's, a landing judged
at two strokes, a paragraph that loads a leg at full stroke, and a landing object of its own.
"""

from dataclasses import dataclass

import matplotlib as mpl
import numpy as np
import pytest
import tarn
from loads_airplane import tourer
from loads_residual import residuals
from scipy.constants import g

from beam.axes import into
from beam.gear import leg_cases
from beam.loads import (
    Equipment,
    GroundCase,
    Landing,
    WheelLoad,
    balance,
    case_list,
    case_table,
    ground_cases,
    inertia_balance,
    layout_table,
    pair,
    standing,
    static_reactions,
)
from beam.strut_cases import design_cases
from materials.checks import number

mpl.use("Agg")


@dataclass(frozen=True, kw_only=True)
class Touchdown:
    """What the invented code needs to know about the landing: a reaction factor of 1.5 or more."""

    reaction_factor: float

    def __post_init__(self):
        number("Touchdown: reaction_factor [-]", self.reaction_factor, at_least=1.5)


def level_touchdown(airplane, landing):
    """X 12(a): both mains, no drag, judged at 40 and 90 percent of the stroke, a tenth below maximum mass."""
    mass = 0.9 * airplane.max_mass
    wheels = pair(0.0, landing.reaction_factor * mass * g / 2, applied_at="axle")
    return [
        GroundCase(
            paragraph="X 12(a)",
            condition="level touchdown",
            mass=mass,
            cg=cg,
            shock="landing",
            strokes=(0.4, 0.9),
            attitude_deg=airplane.level_attitude_deg,
            wheels=wheels,
            lift_ratio=0.5,
        )
        for cg in ("forward", "aft")
    ]


def turn_on_the_ground(airplane, landing):
    """X 15: half the weight to port at the ground, on both mains alike."""
    weight = airplane.max_mass * g
    wheels = [
        WheelLoad(leg=leg, Fy=-0.25 * weight, Fz=0.5 * weight, applied_at="ground")
        for leg in ("starboard", "port")
    ]
    return [standing(airplane, "X 15", "turn", cg, *wheels) for cg in ("forward", "aft")]


def on_the_nose(airplane, landing):
    """X 16: a load in the plane of the nose wheel."""
    load = WheelLoad(leg="nose", Fx=3e3, Fz=4e3, applied_at="axle")
    return [standing(airplane, "X 16", "nose", "forward", load)]


CODE = (level_touchdown, turn_on_the_ground)


def test_its_load_factor_is_below_the_floor_of_part_23():
    landing = Touchdown(reaction_factor=1.6)
    cases = case_list(tourer(), landing, conditions=CODE)
    down = [case for case in cases if case.paragraph == "X 12(a)"]
    for found in balance(tourer(), down):
        assert found.load_factor[2] == pytest.approx(1.6 + 0.5)
    with pytest.raises(ValueError, match=r"load_factor.*2\.67"):
        Landing(load_factor=2.1)
    with pytest.raises(ValueError, match="reaction_factor"):
        Touchdown(reaction_factor=1.4)


def test_it_gets_the_same_table():
    table = case_table(case_list(tourer(), Touchdown(reaction_factor=1.6), conditions=CODE))
    part23 = ground_cases(tourer(), Landing(load_factor=3.0))
    assert list(table.columns) == list(part23.columns)
    assert (table.dtypes == part23.dtypes).all()
    assert len(table) == 8
    assert set(table.paragraph) == {"X 12(a)", "X 15"}
    assert set(table[table.paragraph == "X 12(a)"].strokes) == {(0.4, 0.9)}
    assert set(table[table.paragraph == "X 15"].strokes) == {()}
    assert table.Fz[table.paragraph == "X 15"].to_numpy() == pytest.approx(0.5 * 1240 * g)


def test_it_balances():
    table = inertia_balance(tourer(), Touchdown(reaction_factor=1.6), conditions=CODE)
    cases = case_list(tourer(), Touchdown(reaction_factor=1.6), conditions=CODE)
    assert abs(residuals(tourer(), balance(tourer(), cases))).max() < 1e-12
    assert table.ny[table.paragraph == "X 15"].to_numpy() == pytest.approx(-0.5)


def test_its_landing_reaches_the_ratings_of_the_wheels():
    """The code has no case of the nose wheel: no rating can be asked for; with one, its load is the limit."""
    landing = Touchdown(reaction_factor=1.6)
    with pytest.raises(ValueError, match="nose"):
        layout_table(tourer(), Equipment(), landing, conditions=CODE)
    table = layout_table(tourer(), Equipment(), landing, conditions=(*CODE, on_the_nose)).set_index("check")
    assert table.limit["nose wheel limit rating"] == pytest.approx(5e3)
    assert table.limit["main wheel limit rating"] == pytest.approx(1.6 * 0.9 * 1240 * g / 2)


def test_it_is_drawn():
    from matplotlib import pyplot as plt

    from beam.loads.plots import plot_airplane

    (case, *_) = case_list(tourer(), Touchdown(reaction_factor=1.6), conditions=CODE)
    side, _ = plot_airplane(tourer(), case)
    assert "X 12(a) level touchdown" in side.get_figure().get_suptitle()
    assert "40 to 90 %" in side.get_figure().get_suptitle()
    plt.close("all")


def test_its_cases_reach_the_leg_and_the_strut():
    """At the strokes of its own; the force at the strut's root is the wheel load, whatever the stroke."""
    airplane = tarn.AIRPLANE
    table = case_table(case_list(airplane, Touchdown(reaction_factor=1.6), conditions=CODE))
    static = static_reactions(airplane, masses=(airplane.max_mass, 0.9 * airplane.max_mass))
    main = static.set_index(["mass", "cg"]).main
    load = [main[row.mass, row.cg] for row in table.itertuples()]
    legs = leg_cases(tarn.GEAR, table, static_load=load)
    down = np.array([table.paragraph[row] == "X 12(a)" for row in legs.row])
    assert set(legs.fraction[down].round(12)) == {0.4, 0.9}
    assert len(legs.row) == 4 * 2 + 4

    design = design_cases(tarn.GEAR, table, tarn.MOLD_LINE, static=static)
    assert any(
        label.startswith("X 12(a) level touchdown") and "stroke 40 %" in label for label in design.labels
    )
    lift = 1.6 * 0.9 * airplane.max_mass * g / 2 * into(tarn.MOLD_LINE.frame, [0.0, 0.0, 1.0])
    for i, label in enumerate(design.labels):
        if label.startswith("X 12(a)"):
            np.testing.assert_allclose(design.loads.force[i].sum(axis=0), lift, rtol=1e-9, atol=1e-6)


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"strokes": (40.0,)}, "strokes.*percent"),
        ({"strokes": (0.4,), "shock": "static"}, "strokes.*left out"),
        ({"strokes": (0.4,), "shock": "extended"}, "strokes.*left out"),
        (
            {"wheels": (*pair(0.0, 1.0, applied_at="axle"), *pair(0.0, 2.0, applied_at="axle"))},
            "one load for a leg",
        ),
    ],
)
def test_cases_of_a_code_are_checked(changes, message):
    (case, *_) = level_touchdown(tourer(), Touchdown(reaction_factor=1.6))
    fields = {name: getattr(case, name) for name in case.__dataclass_fields__}
    with pytest.raises(ValueError, match=message):
        GroundCase(**fields | changes)


def test_a_condition_that_does_not_apply_returns_no_case():
    landing = Touchdown(reaction_factor=1.6)
    cases = case_list(tourer(), landing, conditions=[lambda airplane, landing: [], *CODE])
    assert cases == case_list(tourer(), landing, conditions=CODE)


def test_conditions_that_are_none():
    landing = Touchdown(reaction_factor=1.6)
    with pytest.raises(ValueError, match=r"cases of <lambda>.*GroundCase"):
        case_list(tourer(), landing, conditions=[lambda airplane, landing: [1.0]])
    with pytest.raises(ValueError, match=r"conditions\[0\].*function"):
        case_list(tourer(), landing, conditions=["X 12(a)"])
    with pytest.raises(ValueError, match="conditions"):
        case_list(tourer(), landing, conditions=())
    with pytest.raises(ValueError, match="each case once"):
        case_list(tourer(), landing, conditions=[level_touchdown, level_touchdown])
    with pytest.raises(ValueError, match=r"landing: got Touchdown.*must be of type Landing"):
        case_list(tourer(), landing)
