"""From coupons to an allowable: basis values of three invented batches, then knockdowns.

python examples/coupons_to_allowables.py [folder for the picture]
"""

import sys
from pathlib import Path

import numpy as np
from make_pictures import save
from matplotlib import pyplot as plt

from materials import Factor, Source, basis_from_coupons, lamina

COUPONS = np.random.default_rng(7).normal(2400e6, 110e6, 18)  # tensile strength, invented [Pa]
DAMAGE = Factor(name="damage", value=0.7, on=("Xc",), source=Source("none", note="invented"))


def main(folder: Path | None = None) -> None:
    """Print the basis values and the knocked-down allowables, draw the coupons."""
    (found,) = basis_from_coupons(
        COUPONS, batch=list("A" * 6 + "B" * 6 + "C" * 6), condition=["room dry"] * 18
    )
    print(found)
    basis = Factor(
        name="mean to B-basis", value=found.B / found.mean, on=("Xt", "Xc"),
        source=Source("coupons of this script", note="invented"),
    )  # fmt: skip
    coupon = lamina("IM7/8552").allowables
    assert coupon is not None  # the catalog has its strengths
    strengths = coupon.times(basis, DAMAGE)
    print(
        f"B-basis over mean {basis.value:.3f}; allowable Xc {strengths.Xc / 1e6:.0f} MPa after both factors"
    )

    ax = plt.figure(figsize=(7, 4.5), layout="constrained").subplots()
    for batch, mark in zip(range(3), "os^", strict=True):
        own = np.arange(6 * batch, 6 * batch + 6)
        ax.plot(own + 1, COUPONS[own] / 1e6, mark, label=f"batch {'ABC'[batch]}")
    for value, name, dash in (
        (found.mean, "mean", "-"),
        (found.B, "B-basis", "--"),
        (found.A, "A-basis", ":"),
    ):
        ax.axhline(value / 1e6, color="0.3", ls=dash, label=f"{name} {value / 1e6:.0f} MPa")
    ax.set(xticks=range(1, 19), xlabel="coupon [-]", ylabel="tensile strength [MPa]")
    ax.set_title(f"basis values by the {found.chosen.model} model", loc="left")
    ax.grid(alpha=0.3)
    ax.legend(fontsize=8, loc="upper left", ncols=2)
    ax.set_ylim(top=1.08 * COUPONS.max() / 1e6)
    save(ax, folder, "coupons_to_allowables")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else None)
