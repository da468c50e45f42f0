"""Bolts and rivets: sizes and strengths by public standards, preload, and the flexibility of one fastener in plates."""

import csv
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Literal

import numpy as np
from numpy.typing import ArrayLike

from beam.joints.bushing import SIZE
from materials import Metal, Source
from materials.checks import Array, Frozen, Limits, checked, reject
from materials.source import SOURCED

if TYPE_CHECKING:
    import pandas as pd

MODULUS = Limits("Pa", at_least=1e8, at_most=1e12, cause="given in GPa or MPa?")
THICKNESS = Limits("m", above=0.0, at_most=0.2, cause="given in mm?")
LOAD = Limits("N", above=0.0, at_most=1e8, cause="given in kN?")

Law = Literal["huth", "swift", "grumman", "tate"]
"""Published laws of the flexibility of a fastener."""

HUTH = {"bolted": (2 / 3, 3.0), "riveted": (2 / 5, 2.2), "laminate": (2 / 3, 4.2)}
"""Power of the thickness and factor b of Huth's law."""
METAL_COLUMNS = ("E", "nu", "density", "alpha", "Ftu", "Fty", "Fsu", "elongation")
SIZE_COLUMNS = ("diameter", "thread_area", "head_diameter", "shear_load", "tension_load")


class Fastener(Frozen, eq=True):
    """A bolt with its shank in bearing and its thread in tension.

    Parameters
    ----------
    name : str
        Size and class, as in "M6 8.8".
    diameter : float
        Of the shank [m].
    thread_area : float
        Stress area of the thread [m2].
    head_diameter : float
        Outer diameter of what bears under the head: the head, or its washer [m].
    metal : Metal
        Of the bolt, with Fsu.
    source : Source
        Where sizes and loads come from.
    shear_load : float, optional
        Ultimate load in one shear plane, where the standard prints it; by default Fsu x shank [N].
    tension_load : float, optional
        Ultimate load in tension, where the standard prints it; by default Ftu x thread area [N].

    Raises
    ------
    ValueError
        If the thread is larger than the shank, or the head smaller.

    Examples
    --------
    >>> bolt = fastener("M6 8.8")
    >>> round(bolt.shear_strength), round(bolt.tension_strength)
    (13572, 16080)
    """

    name: str
    diameter: Annotated[float, SIZE]
    thread_area: Annotated[float, Limits("m2", above=0.0, at_most=0.1, cause="given in mm2?")]
    head_diameter: Annotated[float, SIZE]
    metal: Metal
    source: Annotated[Source, SOURCED]
    shear_load: Annotated[float | None, LOAD] = None
    tension_load: Annotated[float | None, LOAD] = None

    def __post_init__(self) -> None:
        super().__post_init__()
        owner = f"Fastener '{self.name}'"
        if self.thread_area > self.area:
            limit = f"<= {self.area:g}, that of the shank"
            reject(f"{owner}: thread_area [m2]", f"{self.thread_area:g}", limit, "diameter given as radius?")
        if self.head_diameter <= self.diameter:
            limit = f"> the shank, {self.diameter:g}"
            reject(f"{owner}: head_diameter [m]", f"{self.head_diameter:g}", limit)

    @property
    def area(self) -> float:
        """Of the shank [m2]."""
        return np.pi / 4 * self.diameter**2

    @property
    def shear_strength(self) -> float:
        """Ultimate load in one shear plane [N]."""
        return self.shear_load or self.metal.need("Fsu") * self.area

    @property
    def tension_strength(self) -> float:
        """Ultimate load in tension [N]."""
        return self.tension_load or self.metal.Ftu * self.thread_area

    @property
    def yield_load(self) -> float:
        """Tension at which the thread yields [N]."""
        return self.metal.Fty * self.thread_area


class Preload(Frozen, eq=True):
    """Installation of a bolt by torque.

    Parameters
    ----------
    torque : float
        On the nut [N m].
    nut_factor : float
        K of torque = K x preload x diameter; practice 0.2 dry, 0.13 to 0.15 lubricated (from memory) [-].
    nut_factor_basis : str
        Test or practice behind it.
    scatter : float
        Of the preload, to both sides [-].
    remaining : float
        Share that is left after relaxation; practice 0.6 to 0.7 on laminates after hot and wet (from memory) [-].
    external_share : float
        Share of an external tension that adds to the preload: all of it is safe [-].

    Examples
    --------
    >>> tight = Preload(torque=8.0, nut_factor=0.2, nut_factor_basis="dry, practice")
    >>> round(tight.least(6e-3), 1), round(tight.most(6e-3), 1)
    (2800.0, 8666.7)
    """

    torque: Annotated[float, Limits("N m", above=0.0, at_most=5e3)]
    nut_factor: Annotated[float, Limits("-", at_least=0.05, at_most=0.5)]
    nut_factor_basis: str
    scatter: Annotated[float, Limits("-", at_least=0.0, below=1.0)] = 0.3
    remaining: Annotated[float, Limits("-", at_least=0.0, at_most=1.0)] = 0.6
    external_share: Annotated[float, Limits("-", at_least=0.0, at_most=1.0)] = 1.0

    @checked
    def most(self, diameter: Annotated[float, SIZE]) -> float:
        """Largest preload at installation.

        Parameters
        ----------
        diameter : float
            Of the bolt [m].

        Returns
        -------
        float
            Preload [N].
        """
        return (1 + self.scatter) * self.torque / (self.nut_factor * diameter)

    @checked
    def least(self, diameter: Annotated[float, SIZE]) -> float:
        """Least preload that is left after relaxation.

        Parameters
        ----------
        diameter : float
            Of the bolt [m].

        Returns
        -------
        float
            Preload [N].
        """
        return self.remaining * (1 - self.scatter) * self.torque / (self.nut_factor * diameter)

    @property
    def said(self) -> str:
        """Words for the preload in a row of the margin table."""
        return (
            f"torque {self.torque:g} N m, K {self.nut_factor:g}: {self.nut_factor_basis}; "
            f"scatter {self.scatter:g}, {self.remaining:g} remains"
        )


@checked
def fastener(name: str) -> Fastener:
    """Build a bolt of a public standard.

    Parameters
    ----------
    name : str
        As in the index of `fasteners`.

    Returns
    -------
    Fastener
        With its source; nothing in the catalog was read in the standard itself.

    Raises
    ------
    ValueError
        If there is no such name.

    Examples
    --------
    >>> bolt = fastener("AN4")
    >>> round(bolt.diameter * 1e3, 2), round(bolt.shear_strength), bolt.source.standing
    (6.35, 16370, 'memory')
    """
    rows = _rows()
    if name not in rows:
        reject("fastener: name", repr(name), f"one of: {', '.join(rows)}")
    row: dict[str, Any] = rows[name]
    source = Source(row["document"], row["place"], row["note"], row["standing"])
    alloy: dict[str, Any] = {one: float(row[one]) for one in METAL_COLUMNS}
    sizes = {one: float(row[one]) for one in SIZE_COLUMNS if row[one]}
    metal = Metal(name=row["form"], **alloy, basis=row["basis"], source=source)
    return Fastener(name=name, metal=metal, source=source, **sizes)


def fasteners() -> "pd.DataFrame":
    """List the bolts of public standards.

    Returns
    -------
    DataFrame
        One row per bolt, indexed by name: form, sizes, properties and loads in SI base units, basis, document, place,
        standing and note. A load that the standard does not print is NaN.

    Examples
    --------
    >>> fasteners().loc["M6 8.8", "standing"]
    'memory'
    """
    import pandas as pd

    frame = pd.DataFrame(list(_rows().values())).set_index("name")
    columns = [*SIZE_COLUMNS, *METAL_COLUMNS]
    frame[columns] = frame[columns].replace("", "nan").astype(float)
    return frame


@cache
def _rows() -> dict[str, dict[str, str]]:
    """Cells of each bolt of the data file by column, the bolts by name."""
    with Path(__file__).with_suffix(".csv").open(encoding="utf-8", newline="") as file:
        return {row["name"]: row for row in csv.DictReader(file)}


@checked
def fastener_flexibility(
    diameter: Annotated[float, SIZE],
    modulus: Annotated[float, MODULUS],
    *,
    thickness: Annotated[ArrayLike, Limits("m", last=(2,), above=0.0, at_most=0.2, cause="given in mm?")],
    moduli: Annotated[ArrayLike, Limits("Pa", last=(2,), at_least=1e8, at_most=1e12, cause="given in GPa?")],
    laminates: tuple[bool, bool] = (False, False),
    planes: Annotated[int, Limits("-", at_least=1, at_most=2)] = 1,
    riveted: bool = False,
    law: Law = "huth",
    poisson: Annotated[float, Limits("-", at_least=0.0, below=0.5)] = 0.3,
) -> Array:
    """Slip between two plates over the load of one fastener.

    Parameters
    ----------
    diameter : float
        Of the shank [m].
    modulus : float
        Young's modulus of the fastener [Pa].
    thickness : array_like, shape (..., 2)
        Of the plates; in double shear of the middle plate and of one outer plate [m].
    moduli : array_like, shape (..., 2)
        Of the plates along the load [Pa].
    laminates : tuple of bool
        Which plates are laminates.
    planes : {1, 2}
        Shear planes; in double shear the slip is that of the middle plate against both outer ones.
    riveted : bool
        Whether a rivet joins two metal plates.
    law : {"huth", "swift", "grumman", "tate"}
        Laws differ by 2 to 3 for the same joint, and tests scatter by 35 % about them: run a soft and a stiff one.
    poisson : float
        Poisson's ratio of the fastener, used by "tate" [-].

    Returns
    -------
    ndarray, shape (...)
        Flexibility [m/N].

    Raises
    ------
    ValueError
        If a law is asked for what it was not fitted to: laminates or double shear with "swift" and "grumman", laminates
        with "tate", a rivet in a laminate.

    Notes
    -----
    Huth: C = ((t1 + t2) / (2 d))^a (1/n) [b1 (1/(t1 E1) + 1/(2 t1 Ef)) + b2 (1/(n t2 E2) + 1/(2 n t2 Ef))], n planes;
    bolted metal a 2/3, b 3.0, riveted metal 2/5, 2.2, laminate 2/3, 4.2. Huth tested plates of one kind; metal on
    laminate takes b plate by plate, a convention and no test.

    References
    ----------
    H. Huth, LBF report FB-172 (1984); T. Swift, ASTM STP 486 (1971); M. B. Tate, S. J. Rosenfeld, NACA TN 1051 (1946):
    all in transcriptions.

    Examples
    --------
    >>> C = fastener_flexibility(6.35e-3, 200e9, thickness=[3e-3, 4e-3], moduli=[72e9, 72e9])
    >>> f"{C:.6g}"
    '1.92804e-08'
    """
    (t1, t2), (E1, E2) = np.moveaxis(np.asarray(thickness), -1, 0), np.moveaxis(np.asarray(moduli), -1, 0)
    d, Ef, n = diameter, modulus, planes
    if any(laminates) and (riveted or law != "huth"):
        got = "riveted=True" if riveted else repr(law)
        reject("fastener_flexibility: law", got, '"huth", bolted, for laminates', "fitted to metal plates")
    if law in ("swift", "grumman") and planes == 2:
        reject("fastener_flexibility: planes", "2", f"1 with '{law}'", "fitted to single shear")
    if law == "huth":
        kinds = [HUTH["laminate" if one else "riveted" if riveted else "bolted"] for one in laminates]
        (a, b1), (_, b2) = kinds
        plates = b1 * (1 / (t1 * E1) + 1 / (2 * t1 * Ef)) + b2 * (1 / E2 + 1 / (2 * Ef)) / (n * t2)
        return ((t1 + t2) / (2 * d)) ** a * plates / n
    if law == "swift":
        return 5 / (d * Ef) + 0.8 * (1 / (t1 * E1) + 1 / (t2 * E2))
    if law == "grumman":
        return (t1 + t2) ** 2 / (Ef * d**3) + 3.7 * (1 / (t1 * E1) + 1 / (t2 * E2))
    if planes == 2:
        area, inertia, Gf = np.pi / 4 * d**2, np.pi / 64 * d**4, Ef / (2 * (1 + poisson))
        bending = (8 * t2**3 + 16 * t2**2 * t1 + 8 * t2 * t1**2 + t1**3) / (192 * Ef * inertia)
        bearing = (2 * t2 + t1) / (t2 * t1 * Ef) + 1 / (t2 * E2) + 1 / (t1 * E1)
        return (2 * t2 + t1) / (3 * Gf * area) + bending + bearing
    shear = 32 * (1 + poisson) * (t1 + t2) / (9 * np.pi * Ef * d**2)
    bending = 8 * (t1**3 + 5 * t1**2 * t2 + 5 * t1 * t2**2 + t2**3) / (5 * np.pi * Ef * d**4)
    return (1 / Ef + 1 / E1) / t1 + (1 / Ef + 1 / E2) / t2 + shear + bending
