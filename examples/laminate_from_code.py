"""A laminate from its code: moduli, the strains under a load after cooling from cure, and the modulus by direction.

python examples/laminate_from_code.py [folder for the picture]
"""

import sys
from pathlib import Path

from make_pictures import save

from laminate import Laminate
from laminate.plots import plot_polar_moduli
from materials import lamina


def main(folder: Path | None = None) -> None:
    """Print the moduli and the strains, draw the modulus by direction."""
    stack = Laminate.from_code("[±45/0_2/90]s", lamina("IM7/8552"))
    moduli = stack.moduli()
    print(f"{stack.code}: {len(stack.plies)} plies, {1e3 * stack.thickness:.2f} mm")
    print(f"Ex {moduli.Ex / 1e9:.1f} GPa, Ey {moduli.Ey / 1e9:.1f} GPa, Gxy {moduli.Gxy / 1e9:.1f} GPa")

    found = stack.response(
        N=[200e3, 0.0, 50e3], temperature_change=-110.0
    )  # N/m, K below the stress-free state
    strain = 1e6 * found.midplane_strain
    print(f"strain under 200 kN/m, 50 kN/m in shear, 110 K below cure: {strain[0]:.0f} along the span, "
          f"{strain[1]:.0f} around, {strain[2]:.0f} in shear [microstrain]")  # fmt: skip
    save(plot_polar_moduli(stack), folder, "laminate_from_code")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else None)
