"""Bushings: pressure of a moving pivot, and the press fit in metal or laminate over temperature.

::

        member   bushing  pin          interference = diameter of the bushing - diameter of the hole
      |//////////|####|      |####|//////////|
      |<- width / 2 ->|<bore>|                     width = 2 x least edge distance from the center
"""

from typing import Annotated, NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from beam.joints.joint_rows import (
    JointCheck,
    JointFactors,
    JointLoads,
    Judged,
    Line,
    given,
    judged_rows,
    line,
    strength_ratio,
)
from beam.strength.requirement import Requirement
from laminate import Laminate
from laminate.notch.hole_stress import RingCore, core_answer, fit_pressure, quarter, sheet_moduli
from materials import Metal
from materials.checks import Array, Frozen, Limits, Table, checked, checked_together, default, reject

SIZE = Limits("m", above=0.0, at_most=0.5, cause="given in mm?")
IN_SERVICE = Limits("K", at_least=150.0, at_most=500.0, cause="given in degC?")
WIDE = 5.0
"""Width over diameter from which a laminate counts as a wide sheet; own rule."""


class Bushing(Frozen, eq=True):
    """A bushing in a hole.

    Parameters
    ----------
    bore : float
        Inner diameter, where the pin runs [m].
    diameter : float
        Outer diameter, that of the hole [m].
    length : float
        Length in bearing, without flange [m].
    metal : Metal
        Of the bushing.
    allowed_pressure : float, optional
        Pressure on bore x length at limit load that a moving pivot may see, by wear [Pa].
    pressure_basis : str, optional
        Where it comes from.

    Raises
    ------
    ValueError
        If the bore is not inside the diameter, or the pressure has no basis.

    Examples
    --------
    >>> from materials import metal
    >>> bushing = Bushing(bore=20e-3, diameter=25e-3, length=15e-3, metal=metal("C63000 bar"))
    >>> round(bushing.bore_ratio, 3)
    0.8
    """

    bore: Annotated[float, SIZE]
    diameter: Annotated[float, SIZE]
    length: Annotated[float, SIZE]
    metal: Metal
    allowed_pressure: Annotated[float | None, Limits("Pa", above=1e5, cause="given in MPa?")] = None
    pressure_basis: str | None = None

    def __post_init__(self) -> None:
        super().__post_init__()
        if self.bore >= self.diameter:
            reject("Bushing: bore [m]", f"{self.bore:g}", f"< diameter = {self.diameter:g}", "swapped?")
        if self.allowed_pressure is not None and self.pressure_basis is None:
            reject("Bushing: pressure_basis", None, "given with allowed_pressure")

    @property
    def bore_ratio(self) -> float:
        """Inner over outer diameter [-]."""
        return self.bore / self.diameter

    @property
    def mass(self) -> float:
        """Without flange [kg]."""
        return self.metal.density * np.pi / 4 * (self.diameter**2 - self.bore**2) * self.length


class FitStress(NamedTuple):
    """Pressure and stresses of a press fit (...) [Pa], tension positive; the bore closes by `closure` [m]."""

    pressure: Array
    """Mean over the edge."""
    member_hoop: Array
    """Along the edge of the hole, its largest."""
    member_outside: Array
    """Along the outside of the member; 0 in a laminate, which counts as wide."""
    member_shear: Array
    """Largest in the plane at the edge."""
    bushing_inside: Array
    """Along the bore, its largest compression."""
    bushing_outside: Array
    """Along the outside of the bushing, by the mean pressure."""
    closure: Array
    """Of the bore, by the mean pressure."""


class PressFit(Frozen, eq=True):
    """A bushing pressed into metal or laminate.

    Parameters
    ----------
    name : str
        Of the joint, in the margin table.
    bushing : Bushing
        The bushing.
    member : Metal or Laminate
        What it is pressed into; a laminate with its x axis along the member.
    width : float
        Twice the least distance of an edge from the center [m].
    interference : tuple of float, shape (2,)
        Loosest and tightest fit, on the diameter, at `temperature` [m].
    temperature : float
        At which the fit is given [K].
    friction : float
        Coefficient of friction that holds the bushing [-].
    friction_basis : str
        Where it comes from.
    test_basis : str, optional
        Tests of the fit. A laminate needs them: pressing a bushing into one breaks plies.
    factors : JointFactors
        Factors of Part 23 on the loads of the joint.
    station : float
        Of the joint on the strut [m].

    Raises
    ------
    ValueError
        If the loosest fit is not below the tightest, the member is not wider than the hole, a laminate is narrower than
        5 diameters or comes without tests, or the tightest fit yields bushing or member.

    Notes
    -----
    Metal (Lame, plane stress), c = width / diameter, r = bore / diameter:
    p = (interference / D) / [((c^2 + 1)/(c^2 - 1) + nu)/E of the member + ((1 + r^2)/(1 - r^2) - nu)/E of the bushing],
    hoop in the member p (c^2 + 1)/(c^2 - 1), in the bore -2 p/(1 - r^2). Laminate: Lekhnitskii's potentials and the
    ring of Michell in a Fourier series, without friction; pressure and gap are not negative and never both there.
    Over temperature the interference grows by D (alpha bushing - alpha member) (T - T0). The residual stress counts
    in fatigue and stress corrosion, not in the static strength of ductile metal. Yield: hoop + pressure of the member
    against Fty (Tresca), hoop of the bore against Fcy, or Fty without it.

    Examples
    --------
    >>> from materials import metal
    >>> bushing = Bushing(bore=20e-3, diameter=25e-3, length=15e-3, metal=metal("4340 180 ksi"))
    >>> fit = PressFit(name="pivot", bushing=bushing, member=metal("7075-T6 bar"), width=45e-3,
    ...                interference=(20e-6, 40e-6), temperature=296.0, friction=0.12, friction_basis="invented")
    >>> (fit.stress(fit.interference[1], temperature=[218.0, 296.0, 343.0]).pressure / 1e6).round(1).tolist()
    [48.2, 30.5, 19.8]
    """

    name: str
    bushing: Bushing
    member: Metal | Laminate
    width: Annotated[float, Limits("m", above=0.0, at_most=2.0, cause="given in mm?")]
    interference: tuple[
        Annotated[float, Limits("m", at_least=0.0, at_most=1e-3, cause="given in mm?")],
        Annotated[float, Limits("m", at_least=0.0, at_most=1e-3, cause="given in mm?")],
    ]
    temperature: Annotated[float, IN_SERVICE]
    friction: Annotated[float, Limits("-", above=0.0, at_most=1.0)]
    friction_basis: str
    test_basis: str | None = None
    factors: JointFactors = default(JointFactors())
    station: Annotated[float, Limits("m", at_least=0.0)] = 0.0

    def __post_init__(self) -> None:
        super().__post_init__()
        owner, diameter = f"PressFit '{self.name}'", self.bushing.diameter
        if self.interference[0] > self.interference[1]:
            reject(f"{owner}: interference [m]", self.interference, "loosest first", "swapped?")
        if self.width <= diameter:
            reject(f"{owner}: width [m]", f"{self.width:g}", f"> the hole of {diameter:g}")
        if isinstance(self.member, Laminate):
            if self.width < WIDE * diameter * (1 - 1e-9):
                limit = f">= {WIDE:g} diameters = {WIDE * diameter:g} in a laminate"
                reject(f"{owner}: width [m]", f"{self.width:g}", limit, "solved for a wide sheet")
            if self.test_basis is None:
                cause = (
                    "bond it or use an expanded sleeve; a press fit breaks plies unless tests show otherwise"
                )
                reject(f"{owner}: test_basis", None, "given for a laminate", cause)
        self._refuse_yield(np.array([self.temperature]))

    @checked_together
    def stress(
        self,
        interference: Annotated[ArrayLike, Limits("m", at_least=0.0, at_most=1e-3, cause="given in mm?")],
        *,
        temperature: Annotated[ArrayLike, IN_SERVICE],
    ) -> FitStress:
        """Pressure and stresses of the fit over temperature.

        Parameters
        ----------
        interference : array_like, shape (...)
            On the diameter at the temperature of the fit [m].
        temperature : array_like, shape (...)
            In service [K].

        Returns
        -------
        FitStress
            Each shape (...); zero where the fit is loose.
        """
        fit, T = np.broadcast_arrays(np.asarray(interference), np.asarray(temperature))
        if isinstance(self.member, Laminate):
            found = [self._in_laminate(self.member, *one) for one in zip(fit.flat, T.flat, strict=True)]
            return FitStress(*(np.reshape(column, fit.shape) for column in zip(*found, strict=True)))
        return self._in_metal(self.member, fit, T)

    def _in_metal(self, metal: Metal, fit: Array, T: Array) -> FitStress:
        """Lame's thick rings."""
        ring, D, r = self.bushing.metal, self.bushing.diameter, self.bushing.bore_ratio
        c2 = (self.width / D) ** 2
        outer, inner = (c2 + 1) / (c2 - 1), (1 + r**2) / (1 - r**2)
        left = np.maximum(fit / D + (ring.alpha - metal.alpha) * (T - self.temperature), 0.0)
        p = left / ((outer + metal.nu) / metal.E + (inner - ring.nu) / ring.E)
        bore = -2 * p / (1 - r**2)
        return FitStress(
            pressure=p,
            member_hoop=p * outer,
            member_outside=2 * p / (c2 - 1),
            member_shear=p * c2 / (c2 - 1),
            bushing_inside=bore,
            bushing_outside=-p * inner,
            closure=-bore * self.bushing.bore / ring.E,
        )

    def _in_laminate(self, laminate: Laminate, fit: float, T: float) -> tuple[float, ...]:
        """One fit in a wide orthotropic sheet, in the order of `FitStress`."""
        sheet, ring, r = sheet_moduli(laminate, owner="PressFit"), self.bushing.metal, self.bushing.bore_ratio
        core, edge = RingCore(ring.E, ring.nu, r), quarter(sheet)
        along = laminate.free_strain(temperature_change=1.0)
        free = along[0] * np.cos(edge.angle) ** 2 + along[1] * np.sin(edge.angle) ** 2
        gap = -(fit / self.bushing.diameter + (ring.alpha - free) * (T - self.temperature))
        terms = fit_pressure(sheet, core, gap)
        hoop, pressure = edge.hoop @ terms, edge.waves @ terms
        inside, mean = edge.waves @ (core_answer(core, edge.order)[1] * terms), terms[0]
        bore = -2 * mean / (1 - r**2)
        shear = (hoop + pressure).max() / 2
        outside = -mean * (1 + r**2) / (1 - r**2)
        return mean, hoop.max(), 0.0, shear, inside.min(), outside, -bore * self.bushing.bore / ring.E

    def _refuse_yield(self, temperature: Array) -> None:
        """Refuse a tightest fit that yields the bushing or a metal member at one of the temperatures (n,)."""
        found = self.stress(self.interference[1], temperature=temperature)
        ring = self.bushing.metal
        checks = [("bushing", -found.bushing_inside, ring.Fcy or ring.Fty)]
        if isinstance(self.member, Metal):
            checks.append(("member", 2 * found.member_shear, self.member.Fty))
        for part, stress, limit in checks:
            worst = stress.argmax()
            if stress[worst] > limit:
                got = f"{self.interference[1]:g}: {part} at {stress[worst]:.4g} Pa, {temperature[worst]:g} K"
                limit_text = f"within yield, {limit:.4g} Pa"
                reject(f"PressFit '{self.name}': interference [m]", got, limit_text, "fit too tight")

    @checked
    def margins(self, loads: JointLoads, requirement: Requirement) -> Table:
        """Margins of the friction that holds the bushing at its loosest fit, in the worst service.

        Parameters
        ----------
        loads : JointLoads
            Force along the bushing in column 3 of `force`, torque about it in column 3 of `moment`; the rest is
            carried by bearing.
        requirement : Requirement
            Its services give the temperatures.

        Returns
        -------
        DataFrame
            Rows of the margin table.

        Raises
        ------
        ValueError
            If the tightest fit yields in a service.

        Notes
        -----
        Force mu p pi D L and torque mu p pi D^2 L / 2; both together by their vector sum.
        """
        return judged_rows(self._judged(loads, requirement), requirement)

    def _judged(self, loads: JointLoads, requirement: Requirement) -> list[Judged]:
        """Check of the friction that holds the bushing, with its lines."""
        states = requirement.services
        temperatures = np.array([one.temperature for one in states])
        self._refuse_yield(temperatures)
        pressure = self.stress(self.interference[0], temperature=temperatures).pressure
        worst = int(pressure.argmin())
        D, L = self.bushing.diameter, self.bushing.length
        force = self.friction * pressure[worst] * np.pi * D * L
        asked = np.hypot(loads.force[:, 2], loads.moment[:, 2] * 2 / D)
        text = f"friction {self.friction:g}: {self.friction_basis}; loosest fit {self.interference[0]:g} m"
        check = JointCheck(
            "bushing",
            "retention",
            "ultimate",
            strength_ratio(force, asked),
            text,
            service=states[worst].title,
            work=lambda i: [
                *self._pressure_work(float(temperatures[worst]), float(pressure[worst])),
                *given("-", self.friction_basis, mu=self.friction),
                *given("m", L=L),
                line("H", force, "N", "mu * p * pi * D * L"),
                line("P", asked[i], "N", "sqrt(F3^2 + (2 * M3 / D)^2)"),
                line("R", force / asked[i], "-", "H / P"),
            ],
        )
        return [Judged(self.name, [check], loads, self.factors, self.station)]

    def _pressure_work(self, temperature: float, pressure: float) -> list[Line]:
        """Lines to the pressure of the loosest fit at a temperature [K]."""
        D, ring, metal = self.bushing.diameter, self.bushing.metal, self.member
        lines = given("m", D=D, d=self.bushing.bore)
        if isinstance(metal, Laminate):
            return [
                *lines,
                *given("Pa", "mean, by the Fourier series of the fit in the laminate", p=pressure),
            ]
        c, r = self.width / D, self.bushing.bore_ratio
        grown = (ring.alpha - metal.alpha) * (temperature - self.temperature)
        return [
            *lines,
            *given("m", w=self.width, fit=self.interference[0]),
            *given("Pa", "member and bushing", Em=metal.E, Eb=ring.E),
            *given("-", "member and bushing", num=metal.nu, nub=ring.nu),
            *given("1/K", "member and bushing", am=metal.alpha, ab=ring.alpha),
            *given("K", "since the fit", dT=temperature - self.temperature),
            line("c", c, "-", "w / D"),
            line("r", r, "-", "d / D"),
            line("left", max(self.interference[0] / D + grown, 0.0), "-", "max(fit / D + (ab - am) * dT, 0)"),
            line("p", pressure, "Pa",
                 "left / (((c^2 + 1) / (c^2 - 1) + num) / Em + ((1 + r^2) / (1 - r^2) - nub) / Eb)"),
        ]  # fmt: skip
