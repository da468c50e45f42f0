"""Buckling of a strut's wall: a long plate in compression and shear, and how far curvature raises its load.

python examples/wall_buckling.py [folder for the picture]
"""

import sys
from pathlib import Path

import numpy as np
from make_pictures import save
from matplotlib import pyplot as plt

from laminate import Laminate
from laminate.stability import critical_loads, curved_wall_ratio, strip_buckling
from materials import lamina

WALL = Laminate.from_code("[±45/0]s", lamina("IM7/8552"))
WIDTH = 0.06  # [m]


def main(folder: Path | None = None) -> None:
    """Print the critical loads, draw compression over shear."""
    alone = critical_loads(WALL.D, WIDTH)
    print(
        f"bending and twist uncoupled: compression {alone.Nx / 1e3:.1f} kN/m, shear {alone.Nxy / 1e3:.1f} kN/m"
    )
    share = np.linspace(0.0, 1.0, 21)
    Nx, Nxy = -alone.Nx * np.cos(share * np.pi / 2), alone.Nxy * np.sin(share * np.pi / 2)
    ratio, _ = strip_buckling(WALL.D, WIDTH, Nx, Nxy)
    compression, shear = ratio[0] * alone.Nx / 1e3, ratio[-1] * alone.Nxy / 1e3
    print(f"coupled: compression {compression:.1f} kN/m, shear {shear:.1f} kN/m")
    curved = float(curved_wall_ratio(WALL.abd, WIDTH, 0.3, -alone.Nx))
    print(f"radius 0.3 m, imperfections included: {curved:.3f} times the flat wall's compression")

    ax = plt.figure(figsize=(7, 4.5), layout="constrained").subplots()
    ax.plot(ratio * Nxy / 1e3, -ratio * Nx / 1e3, "o-", ms=3)
    ax.set(xlabel="shear Nxy [kN/m]", ylabel="compression -Nx [kN/m]", xlim=0, ylim=0)
    ax.set_title(
        f"{WALL.code}, {1e3 * WIDTH:.0f} mm wide, simply supported: loads that buckle", loc="left", fontsize=9
    )
    ax.grid(alpha=0.3)
    save(ax, folder, "wall_buckling")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else None)
