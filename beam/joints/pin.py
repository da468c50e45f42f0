"""Pins through lugs: shear, bending, both together, and the active widths of lugs that are stronger than the pin.

::

      |<- t1 ->|g|<----- t2 ----->|g|<- t1 ->|      double shear: the middle lug carries P, each outer one P / 2
      ########## #################### ##########    single shear: t1 and t2 with one gap
"""

from typing import Annotated, Literal, NamedTuple

import numpy as np

from beam.joints.bushing import SIZE
from beam.joints.joint_rows import (
    JointCheck,
    JointFactors,
    JointLoads,
    Judged,
    Line,
    given,
    interaction_ratio,
    judged_rows,
    line,
    of_metal,
    strength_ratio,
)
from beam.strength.requirement import Requirement
from materials import Metal
from materials.checks import Frozen, Limits, Table, checked, default, reject

DUCTILE = 0.05
"""Elongation from which a pin counts as ductile in bending [-]."""
SOLID_DUCTILE = 1.56
"""Ultimate moment over Ftu S of a solid ductile pin (from memory)."""


class BalancedPin(NamedTuple):
    """Load of a pin whose lugs bear on part of their width [N], those widths [m], and what limits it."""

    load: float
    outer_width: float
    middle_width: float
    governs: str


class Pin(Frozen, eq=True):
    """A pin or bolt through lugs.

    Parameters
    ----------
    name : str
        Of the joint, in the margin table.
    diameter : float
        Outer diameter [m].
    metal : Metal
        Of the pin, with Fsu.
    outer : float
        Thickness t1 of one outer lug [m].
    middle : float
        Thickness t2 of the middle lug; in single shear of the other lug [m].
    gap : float
        Between neighboring lugs [m].
    bore : float
        Inner diameter of a hollow pin [m].
    arrangement : {"double", "single restrained", "single free"}
        Double shear; single shear with both members kept from turning; or free to turn, as a cantilever pin.
    peaking : float
        Share of the middle lug's half arm that counts: 1 for even bearing, less by a curve with its basis [-].
    peaking_basis : str, optional
        Where a peaking below 1 comes from.
    bending_factor : float, optional
        k, ultimate moment over Ftu S. By default 1.56 of a solid ductile pin, scaled to hollow ones with the plastic
        moment, and 1 with an elongation below 5 % or unknown [-].
    lugs : tuple of float, optional
        Ultimate loads of one outer lug and of the middle lug, both over their whole thickness. With them the pin is
        taken in balance with the lugs (double shear only) [N].
    factors : JointFactors
        Factors of Part 23 on the loads of the joint.
    station : float
        Of the joint on the strut [m].

    Raises
    ------
    ValueError
        If the wall of a hollow pin is thinner than an eighth of its diameter, peaking below 1 has no basis, the
        bending factor is above that of full plasticity, or lugs are given in single shear.

    Notes
    -----
    S = pi (D^4 - d^4) / (32 D). Double shear: b = t1/2 + gap + peaking t2/4, M = P b / 2, shear 2 Fsu A. Single shear:
    b = t1/2 + t2/2 + gap, M = P b / 2 restrained, P b free, shear Fsu A. Ultimate M = k Ftu S, limit M <= Fty S;
    Rs^2 + Rb^2 = 1 (from memory). Full plasticity: k = 16 (1 - rho^3) / (3 pi (1 - rho^4)), rho = d / D. Hollow
    pins: ovalization is not covered. The force along the pin goes over thrust faces, not through the pin.

    References
    ----------
    M. A. Melcon, F. M. Hoblit, Product Engineering, 1953; AFFDL-TR-69-42 chapter 9 (both from memory).

    Examples
    --------
    >>> from materials import metal
    >>> pin = Pin(name="pivot", diameter=20e-3, metal=metal("4340 180 ksi"), outer=10e-3, middle=15e-3, gap=0.5e-3)
    >>> round(pin.shear_load / 1e3, 1), round(pin.bending_load / 1e3, 1)
    (467.9, 328.8)
    """

    name: str
    diameter: Annotated[float, SIZE]
    metal: Metal
    outer: Annotated[float, SIZE]
    middle: Annotated[float, SIZE]
    gap: Annotated[float, Limits("m", at_least=0.0, at_most=0.1, cause="given in mm?")] = 0.0
    bore: Annotated[float, Limits("m", at_least=0.0, at_most=0.5, cause="given in mm?")] = 0.0
    arrangement: Literal["double", "single restrained", "single free"] = "double"
    peaking: Annotated[float, Limits("-", above=0.0, at_most=1.0)] = 1.0
    peaking_basis: str | None = None
    bending_factor: Annotated[float | None, Limits("-", at_least=1.0, at_most=1.7)] = None
    lugs: tuple[Annotated[float, Limits("N", above=0.0)], Annotated[float, Limits("N", above=0.0)]] | None = (
        None
    )
    factors: JointFactors = default(JointFactors())
    station: Annotated[float, Limits("m", at_least=0.0)] = 0.0

    def __post_init__(self) -> None:
        super().__post_init__()
        owner = f"Pin '{self.name}'"
        if self.bore > 0.75 * self.diameter * (1 + 1e-9):
            limit = f"<= 3/4 of the diameter = {0.75 * self.diameter:g}"
            reject(f"{owner}: bore [m]", f"{self.bore:g}", limit, "a thinner wall ovalizes")
        if self.peaking < 1.0 and self.peaking_basis is None:
            reject(f"{owner}: peaking_basis", None, "given with a peaking below 1")
        if self.bending_factor is not None and self.bending_factor > self.plastic_factor:
            limit = f"<= {self.plastic_factor:.5g}, that of full plasticity"
            reject(f"{owner}: bending_factor [-]", f"{self.bending_factor:g}", limit)
        if self.lugs is not None and self.arrangement != "double":
            reject(f"{owner}: lugs", "given in single shear", "None", "the balance is that of double shear")

    @property
    def area(self) -> float:
        """Of the cross section [m2]."""
        return np.pi / 4 * (self.diameter**2 - self.bore**2)

    @property
    def section_modulus(self) -> float:
        """S of the cross section [m3]."""
        return np.pi * (self.diameter**4 - self.bore**4) / (32 * self.diameter)

    @property
    def plastic_factor(self) -> float:
        """Fully plastic moment over Ftu S [-]."""
        rho = self.bore / self.diameter
        return 16 * (1 - rho**3) / (3 * np.pi * (1 - rho**4))

    @property
    def moment_factor(self) -> float:
        """k by which the ultimate moment is found [-]."""
        if self.bending_factor is not None:
            return self.bending_factor
        if self.metal.elongation is None or self.metal.elongation < DUCTILE:
            return 1.0
        return SOLID_DUCTILE * self.plastic_factor * 3 * np.pi / 16

    @property
    def arm(self) -> float:
        """Moment over half of the load in double shear, over the load in single shear [m]."""
        if self.arrangement == "double":
            return self.outer / 2 + self.gap + self.peaking * self.middle / 4
        return self.outer / 2 + self.middle / 2 + self.gap

    @property
    def moment_per_load(self) -> float:
        """Moment in the pin over the load [m]."""
        return self.arm if self.arrangement == "single free" else self.arm / 2

    @property
    def mass(self) -> float:
        """Of the length through the lugs, without head and nut [kg]."""
        outer, gaps = (2, 2) if self.arrangement == "double" else (1, 1)
        return self.metal.density * self.area * (outer * self.outer + self.middle + gaps * self.gap)

    @property
    def shear_load(self) -> float:
        """Ultimate load in shear [N]."""
        planes = 2 if self.arrangement == "double" else 1
        return planes * self.metal.need("Fsu") * self.area

    @property
    def bending_load(self) -> float:
        """Ultimate load in bending, lugs bearing over their whole thickness [N]."""
        return self.moment_factor * self.metal.Ftu * self.section_modulus / self.moment_per_load

    @property
    def balanced(self) -> BalancedPin:
        """Load and active widths where lugs stronger than the pin bear near the shear planes only."""
        if self.lugs is None:
            reject(f"Pin '{self.name}': lugs", None, "given for the balance with the lugs")
        (P1, P2), t1, t2, g = self.lugs, self.outer, self.middle, self.gap
        C = P1 * P2 / (P1 * t2 + P2 * t1)
        moment = self.moment_factor * self.metal.Ftu * self.section_modulus
        load = 2 * C * (np.sqrt(2 * moment / C + g**2) - g)
        b1, b2 = load * t1 / (2 * P1), load * t2 / (2 * P2)
        if b1 > t1 or b2 > t2 / 2:
            load = min(2 * P1, P2)
            return BalancedPin(
                load, min(b1, t1), min(b2, t2 / 2), "outer lugs" if 2 * P1 < P2 else "middle lug"
            )
        return BalancedPin(float(load), float(b1), float(b2), "pin")

    @checked
    def margins(self, loads: JointLoads, requirement: Requirement) -> Table:
        """Margins of the pin in shear, bending and both.

        Parameters
        ----------
        loads : JointLoads
            Columns 1 and 2 of `force` lie across the pin, column 3 along it.
        requirement : Requirement
            Factors.

        Returns
        -------
        DataFrame
            Rows of the margin table.
        """
        return judged_rows(self._judged(loads, requirement), requirement)

    def _judged(self, loads: JointLoads, requirement: Requirement) -> list[Judged]:
        """Checks of the pin, each with its lines."""
        P = np.hypot(loads.force[:, 0], loads.force[:, 1])
        metal = self.metal
        said, in_shear = of_metal(metal, "Ftu", "elongation"), of_metal(metal, "Fsu")
        both = of_metal(metal, "Ftu", "elongation", "Fsu")
        k = f"k {self.moment_factor:.3g}"
        even = "even bearing" if self.peaking == 1.0 else f"peaking {self.peaking:g}: {self.peaking_basis}"
        bending = self.bending_load
        if self.lugs is not None:
            bending, b1, b2, governs = self.balanced
            even = f"lugs bear on {1e3 * b1:.3g} and 2 x {1e3 * b2:.3g} mm, {governs} limits"
        yields = metal.Fty * self.section_modulus / self.moment_per_load
        together = interaction_ratio((P / self.shear_load, 2.0), (P / bending, 2.0))

        def load(i: int) -> list[Line]:
            return [line("P", P[i], "N", "sqrt(F1^2 + F2^2)")]

        def shear(i: int) -> list[Line]:
            planes = 2 if self.arrangement == "double" else 1
            return [
                *load(i),
                *given("m", D=self.diameter, d=self.bore),
                *given("Pa", in_shear, Fsu=metal.need("Fsu")),
                line("A", self.area, "m2", "pi / 4 * (D^2 - d^2)"),
                line("Pus", self.shear_load, "N", f"{planes} * Fsu * A"),
            ]

        def of_pin(name: str, strength: float, factor: float) -> list[Line]:
            double = self.arrangement == "double"
            return [
                *given("m", D=self.diameter, d=self.bore, t1=self.outer, t2=self.middle, g=self.gap),
                *given("-", even, peaking=self.peaking),
                *given("-", "moment over strength x S", k=factor),
                *given("Pa", said, **{name: strength}),
                line("S", self.section_modulus, "m3", "pi * (D^4 - d^4) / (32 * D)"),
                line("Mu", factor * strength * self.section_modulus, "N m", f"k * {name} * S"),
                line(
                    "b", self.arm, "m", "t1 / 2 + g + peaking * t2 / 4" if double else "t1 / 2 + t2 / 2 + g"
                ),
                line("arm", self.moment_per_load, "m", "b" if self.arrangement == "single free" else "b / 2"),
            ]

        def bend(i: int) -> list[Line]:
            lines = [*load(i), *of_pin("Ftu", metal.Ftu, self.moment_factor)]
            if self.lugs is None:
                return [*lines, line("Pub", bending, "N", "Mu / arm")]
            P1, P2 = self.lugs
            lines += given("N", "of one outer lug and of the middle lug", P1=P1, P2=P2)
            if self.balanced.governs != "pin":
                return [
                    *lines,
                    line("Pub", bending, "N", "min(2 * P1, P2)", f"{self.balanced.governs} limits"),
                ]
            C = P1 * P2 / (P1 * self.middle + P2 * self.outer)
            return [
                *lines,
                line("C", C, "N/m", "P1 * P2 / (P1 * t2 + P2 * t1)"),
                line("Pub", bending, "N", "2 * C * (sqrt(2 * Mu / C + g^2) - g)"),
            ]

        checks = [
            JointCheck("pin", "shear", "ultimate", strength_ratio(self.shear_load, P), in_shear,
                       work=lambda i: [*shear(i), line("R", self.shear_load / P[i], "-", "Pus / P")]),
            JointCheck("pin", "bending", "ultimate", strength_ratio(bending, P), f"{even}, {k}; {said}",
                       work=lambda i: [*bend(i), line("R", bending / P[i], "-", "Pub / P")]),
            JointCheck("pin", "shear and bending", "ultimate", together, f"Rs^2 + Rb^2; {even}, {k}; {both}",
                       work=lambda i: [*shear(i), *bend(i)[1:], line("Rs", P[i] / self.shear_load, "-", "P / Pus"),
                                       line("Rb", P[i] / bending, "-", "P / Pub"),
                                       line("R", together[i], "-", "1 / sqrt(Rs^2 + Rb^2)")]),
            JointCheck("pin", "bending yield", "limit", strength_ratio(yields, P), f"elastic; {said}",
                       work=lambda i: [*load(i), *of_pin("Fty", metal.Fty, 1.0), line("Py", yields, "N", "Mu / arm"),
                                       line("R", yields / P[i], "-", "Py / P")]),
        ]  # fmt: skip
        return [Judged(self.name, checks, loads, self.factors, self.station)]
