"""Plies and load paths for the tests of the failure criteria."""

import numpy as np

from materials.allowables import Allowables
from materials.source import Source

TSAI_HAHN = Source("S. W. Tsai, H. T. Hahn, Introduction to Composite Materials, 1980", "T300/5208")
M1 = Allowables(
    Xt=1500e6, Xc=1500e6, Yt=40e6, Yc=246e6, S=68e6,
    e1t=0.0083, e1c=0.0079, e2t=0.0039, e2c=0.0239, g12=0.0095,
    basis="typical", condition="room, dry", source=TSAI_HAHN,
)  # fmt: skip
GLASS = Allowables(
    Xt=1140e6, Xc=570e6, Yt=35e6, Yc=114e6, S=72e6,
    e1t=0.02132, e1c=0.01065, e2t=0.00197, e2c=0.00644, g12=0.038,
    basis="typical", condition="room, dry",
    source=Source("Soden, Hinton, Kaddour, Compos. Sci. Technol. 58 (1998) 1011-1022", "Table 1"),
)  # fmt: skip
PLIES = {"T300/5208": M1, "E-glass/LY556": GLASS}

AXES = {
    "Xt": (1, 0, 0),
    "Xc": (-1, 0, 0),
    "Yt": (0, 1, 0),
    "Yc": (0, -1, 0),
    "S": (0, 0, 1),
    "-S": (0, 0, -1),
}
"""The uniaxial load directions, by the strength that they reach."""


def uniaxial(criterion, allowables, name):
    """The load along one axis that reaches the strength."""
    Xt, Xc, Yt, Yc, S = limits_of(criterion, allowables)
    return np.multiply(AXES[name], {"Xt": Xt, "Xc": Xc, "Yt": Yt, "Yc": Yc, "S": S, "-S": S}[name])


SODEN = Source("Soden, Hinton, Kaddour, Compos. Sci. Technol. 58 (1998) 1011-1022", "Table 1")
TABLE = {  # XT, XC, YT, YC, S12 [MPa], G12 [GPa]; from memory
    "E-glass/LY556": (1140, 570, 35, 114, 72, 5.83),
    "E-glass/MY750": (1280, 800, 40, 145, 73, 5.83),
    "AS4/3501-6": (1950, 1480, 48, 200, 79, 6.6),
    "T300/BSL914C": (1500, 900, 27, 200, 80, 5.5),
}
EXERCISE = {
    name: Allowables(
        **{k: v * 1e6 for k, v in zip(("Xt", "Xc", "Yt", "Yc", "S"), row, strict=False)},
        basis="typical", condition="room, dry", source=SODEN,
    )
    for name, row in TABLE.items()
}  # fmt: skip
"""Plies of the World-Wide Failure Exercise."""
G12 = {name: row[-1] * 1e9 for name, row in TABLE.items()}
INCLINATION = {name: 0.25 if name.startswith("E-glass") else 0.30 for name in TABLE}


def limits_of(criterion, allowables):
    """(Xt, Xc, Yt, Yc, S) in the quantity that the criterion takes."""
    if criterion.takes == "strain":
        return allowables.strains
    a = allowables
    return a.Xt, a.Xc, a.Yt, a.Yc, a.S


def paths(criterion, allowables, n, seed=0, fixed=0.3):
    """Random loads of the size of the strengths, and residuals of `fixed` of them, all signs, some zero."""
    rng = np.random.default_rng(seed)
    xt, xc, yt, yc, s = limits_of(criterion, allowables)
    scale = np.array([min(xt, xc), min(yt, yc), s])
    load = rng.normal(size=(n, 3)) * scale * rng.choice([0, 0.1, 1], size=(n, 3))
    return load, fixed * rng.uniform(-1, 1, size=(n, 3)) * scale
