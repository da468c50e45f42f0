"""A moment that opens a corner pulls its plies apart: stress across the thickness, and the radius that bears it.

python examples/corner_opening.py [folder for the picture]
"""

import sys
from dataclasses import replace
from functools import partial
from pathlib import Path

import numpy as np
from make_pictures import save
from matplotlib import pyplot as plt

from laminate import Laminate
from laminate.interlaminar import corner_moduli, corner_stress, radial_peak
from materials import lamina

TAPE = replace(lamina("IM7/8552"), G13=5.3e9, G23=3.0e9)  # moduli through the thickness: invented
STACK = Laminate.from_code("[±45/0_2/90]2s", TAPE)
MOMENT = 80.0  # per width, opening [N]


def main(folder: Path | None = None) -> None:
    """Print the largest stress for three inner radii, draw the stress across the thickness."""
    wall = corner_moduli(STACK)._asdict()
    stress = partial(corner_stress, thickness=STACK.thickness, moment=MOMENT, **wall)
    ax = plt.figure(figsize=(7, 4.5), layout="constrained").subplots()
    for inner, dash in ((5e-3, "-"), (10e-3, "--"), (20e-3, "-.")):
        peak, at = radial_peak(inner, STACK.thickness, MOMENT, **wall)
        depth = 1e3 * (float(at) - inner)
        print(
            f"inner radius {1e3 * inner:.0f} mm: {float(peak) / 1e6:.2f} MPa, {depth:.2f} mm from the inside"
        )
        found = stress(inner_radius=inner)
        ax.plot(
            1e3 * (found.radius - inner), np.asarray(found.radial) / 1e6, dash, label=f"{1e3 * inner:.0f} mm"
        )
    ax.set(xlabel="from the inner surface [mm]", ylabel="stress across the thickness [MPa]")
    ax.set_title(f"{MOMENT:.0f} N m per meter of width, opening", loc="left")
    ax.grid(alpha=0.3)
    ax.legend(title="inner radius")
    save(ax, folder, "corner_opening")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else None)
