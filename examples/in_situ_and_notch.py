"""Strength of plies inside a laminate, and of a laminate with a hole. The characteristic distance is a starting value.

python examples/in_situ_and_notch.py [folder for the picture]
"""

import sys
from pathlib import Path

import numpy as np
from make_pictures import save
from matplotlib import pyplot as plt

from laminate import Laminate, in_situ
from laminate.notch import open_hole_ratio, stress_concentration
from materials import lamina

STACK = Laminate.from_code("[±45/0_2/90]s", lamina("IM7/8552"))


def main(folder: Path | None = None) -> None:
    """Print the in-situ strengths and the strength with a 6.35 mm hole, draw it over the diameter."""
    coupon = STACK.plies[0].lamina.allowables
    assert coupon is not None  # the catalog has its strengths
    for ply, own in zip(STACK.plies[:5], in_situ(STACK), strict=False):
        print(f"ply at {ply.angle_deg:+3.0f} deg: Yt {own.Yt / 1e6:6.1f} MPa, of the coupon "
              f"{coupon.Yt / 1e6:.1f} MPa")  # fmt: skip
    left = float(open_hole_ratio(STACK, diameter=6.35e-3, distance=3.8e-3, criterion="average"))
    print(
        f"stress concentration {stress_concentration(STACK):.3f}, strength left with a 6.35 mm hole {left:.3f}"
    )

    ax = plt.figure(figsize=(7, 4.5), layout="constrained").subplots()
    diameter = np.linspace(0.5e-3, 25e-3, 40)
    average = open_hole_ratio(STACK, diameter=diameter, distance=3.8e-3, criterion="average")
    point = open_hole_ratio(STACK, diameter=diameter, distance=1.0e-3, criterion="point")
    ax.plot(1e3 * diameter, average, label="mean stress over 3.8 mm")
    ax.plot(1e3 * diameter, point, "--", label="stress at 1.0 mm")
    ax.axhline(1 / stress_concentration(STACK), color="0.5", lw=0.8, ls=":", label="very large hole")
    ax.set(xlabel="diameter of the hole [mm]", ylabel="strength with hole over without [-]", ylim=(0, 1))
    ax.set_title("open hole, load along x", loc="left")
    ax.grid(alpha=0.3)
    ax.legend()
    save(ax, folder, "in_situ_and_notch")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else None)
