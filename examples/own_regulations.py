"""A code of regulations of one's own: its conditions as functions, down to the loads on the strut. It is invented.

python examples/own_regulations.py [folder for the picture]
"""

import sys
from pathlib import Path

import tarn
from make_pictures import save
from scipy.constants import g

import beam
from beam.loads import Airplane, GroundCase, Landing, WheelLoad, pair, standing
from beam.loads.plots import plot_airplane


def level_touchdown(airplane: Airplane, landing: Landing) -> list[GroundCase]:
    """X 12: both mains, drag a third of the vertical load, at 40 and 90 percent of the stroke."""
    up = (landing.load_factor - landing.lift_ratio) * airplane.landing_mass * g / 2
    return [
        GroundCase(
            paragraph="X 12", condition="level touchdown", mass=airplane.landing_mass, cg=cg, shock="landing",
            strokes=(0.4, 0.9), attitude_deg=airplane.level_attitude_deg, lift_ratio=landing.lift_ratio,
            wheels=pair(up / 3, up, applied_at="axle"),
        )
        for cg in ("forward", "aft")
    ]  # fmt: skip


def turn(airplane: Airplane, landing: Landing) -> list[GroundCase]:
    """X 15: half the weight to port at the ground."""
    half = 0.5 * airplane.max_mass * g
    loads = [WheelLoad(leg=leg, Fy=-half / 2, Fz=half, applied_at="ground") for leg in ("starboard", "port")]
    return [standing(airplane, "X 15", "turn", cg, *loads) for cg in ("forward", "aft")]


def main(folder: Path | None = None) -> None:
    """Print the wheel loads and the largest force on the strut, draw the turn."""
    landing, own = Landing(load_factor=3.0, max_mass_load_factor=2.95), (level_touchdown, turn)
    cases = beam.ground_cases(tarn.AIRPLANE, landing, conditions=own)
    print(
        cases[cases["leg"] == "starboard"][["paragraph", "condition", "cg", "Fx", "Fy", "Fz"]]
        .round(0)
        .to_string()
    )
    design = beam.design_cases(tarn.GEAR, cases, tarn.MOLD_LINE, static=beam.static_reactions(tarn.AIRPLANE))
    print(
        f"{len(design.labels)} cases on the strut, largest force {abs(design.loads.force).max() / 1e3:.2f} kN, limit"
    )
    save(plot_airplane(tarn.AIRPLANE, turn(tarn.AIRPLANE, landing)[0]), folder, "own_regulations")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else None)
