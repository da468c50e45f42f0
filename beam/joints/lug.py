"""Metal lugs under axial, transverse and oblique load.

::

       ______________________
                             \\      axial: along the lug, pulls toward its end (+) or pushes toward the root (-)
      root        ( hole )    |     transverse: across, in the plane;  sideways: along the pin
       ______________________/
         |<- arm ->|<- edge ->|
"""

from collections.abc import Callable
from typing import Annotated, NamedTuple

import numpy as np

from beam.joints.bushing import SIZE, Bushing
from beam.joints.joint_rows import (
    JointCheck,
    JointFactors,
    JointLoads,
    Judged,
    Kind,
    Line,
    given,
    interaction_ratio,
    judged_rows,
    line,
    of_metal,
    strength_ratio,
)
from beam.strength.check import Level
from beam.strength.requirement import Requirement
from materials import Metal, Source
from materials.checks import Array, Frozen, Limits, Numbers, OptionalNumbers, Table, checked, default, reject
from materials.source import SOURCED

BOTH: tuple[Level, Level] = ("ultimate", "limit")
BEARING = {"shear-bearing", "bearing", "bearing yield"}
"""Axial modes of bearing stress."""
OBLIQUE = 1.6
"""Power of the interaction of axial and transverse load."""
BUSHING_YIELD = 1.85
"""Load at bushing yield over Fcy x contact area (one transcription)."""
THIN_PIN = 0.9
"""Diameter of the pin over that of its hole above which the closed form was fitted."""
EDGES, WIDTHS = (0.6, 4.0), (1.2, 5.0)
"""Edge distance and width over the diameter for which lug methods were tested [-]."""


class ReadCurve(Frozen, eq=True):
    """A curve of a handbook as its user read it.

    Parameters
    ----------
    x, y : array_like, shape (point,)
        Points, x ascending; straight in between, never extrapolated [-].
    source : Source
        Figure, and how it was read.

    Raises
    ------
    ValueError
        If x does not ascend or the lengths differ.

    Examples
    --------
    >>> curve = ReadCurve(x=[1.0, 2.0], y=[0.9, 0.8], source=Source("invented", "figure"))
    >>> round(curve.at(1.5), 3)
    0.85
    """

    x: Annotated[Numbers, Limits("-", shape=(-1,), at_least=0.0)]
    y: Annotated[Numbers, Limits("-", shape=(-1,), above=0.0, at_most=10.0)]
    source: Annotated[Source, SOURCED]

    def __post_init__(self) -> None:
        super().__post_init__()
        if len(self.x) != len(self.y) or len(self.x) < 2 or (np.diff(self.x) <= 0).any():
            reject("ReadCurve: x, y", f"{len(self.x)} and {len(self.y)} points", "two or more, x ascending")

    @checked
    def at(self, x: Annotated[float, Limits("-")]) -> float:
        """Value at x.

        Parameters
        ----------
        x : float
            Within the points [-].

        Returns
        -------
        float
            Value [-].

        Raises
        ------
        ValueError
            If x lies outside the points.
        """
        if not self.x[0] - 1e-9 <= x <= self.x[-1] + 1e-9:
            cause = f"{self.source.document}: not read there"
            reject("ReadCurve.at: x [-]", f"{x:g}", f"{self.x[0]:g} to {self.x[-1]:g}", cause)
        return float(np.interp(x, self.x, self.y))


class LugCurves(Frozen, eq=True):
    """Curves of a handbook for the strength of lugs; those that are not given leave the closed form or a refusal.

    Parameters
    ----------
    net : ReadCurve, optional
        Kt, net tension, over width / diameter [-].
    bearing : ReadCurve, optional
        Kbr, shear-bearing, over edge / diameter at this diameter / thickness [-].
    transverse : ReadCurve, optional
        Ktru, ultimate, over mean area / (diameter x thickness); without it the yield strength counts as ultimate [-].
    transverse_yield : ReadCurve, optional
        Ktry, yield, over the same [-].
    yielding : ReadCurve, optional
        C, axial yield, over ultimate load / (diameter x thickness x Ftu across) [-].

    Raises
    ------
    ValueError
        If one of net and bearing is missing, or transverse comes without transverse_yield.

    Examples
    --------
    >>> read = Source("invented", "figure")
    >>> LugCurves(net=ReadCurve(x=[1.5, 5], y=[1, 0.7], source=read),
    ...           bearing=ReadCurve(x=[0.6, 3], y=[0.3, 1.8], source=read)).net.at(1.5)
    1.0
    """

    net: ReadCurve | None = None
    bearing: ReadCurve | None = None
    transverse: ReadCurve | None = None
    transverse_yield: ReadCurve | None = None
    yielding: ReadCurve | None = None

    def __post_init__(self) -> None:
        super().__post_init__()
        for one, other in (("net", "bearing"), ("transverse", "transverse_yield"), ("bearing", "net")):
            if getattr(self, one) is not None and getattr(self, other) is None:
                reject(f"LugCurves: {other}", None, f"given with {one}")


class LugStrength(NamedTuple):
    """Loads of one kind that a lug bears [N]: at ultimate by mode, at limit by mode, across at both, pushed at both."""

    ultimate: dict[str, float]
    limit: dict[str, float]
    across: tuple[float, float] | None
    pushed: tuple[float, float]


class Lug(Frozen, eq=True):
    """A metal lug on a pin.

    Parameters
    ----------
    name : str
        Of the joint, in the margin table.
    hole : float
        Diameter of the hole in the lug; with a bushing, of the bushing [m].
    width : float
        At the hole [m].
    edge : float
        From the center of the hole to the end [m].
    thickness : float
        Of the lug [m].
    metal : Metal
        Of the lug, grain along it; its strengths across the grain count for the end, else those along it.
    pin_diameter : float
        Of the pin [m].
    bushing : Bushing, optional
        In the hole.
    curves : LugCurves, optional
        As the user read them. Without them axial loads go by the closed form of ASME BTH-1, and transverse ones are
        refused.
    moves : bool
        The pivot turns or is pounded under load: it needs a bearing factor, and a bushing with its allowed pressure.
    areas : array_like, shape (4,), optional
        A1 to A4 of the transverse method, for a lug that is not plain and parallel [m2].
    arm : float, optional
        From the center of the hole to the root, for bending of the root section [m].
    sideways : float
        Least share of the load that also acts sideways on the root section; 0.1 is practice (from memory) [-].
    factors : JointFactors
        Factors of Part 23 on the loads of the joint.
    station : float
        Of the joint on the strut [m].

    Raises
    ------
    ValueError
        If edge or width lie outside the tested proportions, the pin is thicker than its hole or below 0.9 of it, the
        bushing does not fill the hole, or a moving pivot lacks bearing factor or allowed pressure.

    Notes
    -----
    Closed form (ASME BTH-1, from memory), be = (w - Dh)/2, Cr = 1 - 0.275 sqrt(1 - (Dp/Dh)^2), a = e - Dh/2:
    net tension Cr Ftu 2 t min(be, 4 t, 0.6 be (Ftu/Fty) sqrt(Dh/be)); splitting
    Cr Ftu (1.13 a + 0.92 be / (1 + be/Dh)) t; shear-out 0.7 Ftu 2 (a + Dp/2 (1 - cos 55 deg Dp/Dh)) t. At limit: net
    Fty (w - D) t, shear-out 2 a t Fty / sqrt(3), bearing Fbry D t (Fty D t
    where no Fbry is given or e/D is below 1.5; own rule); at ultimate also Fbru D t where it is given.

    Curves (Melcon and Hoblit): net Kt Ftu (w - D) t, shear-bearing Kbr Ftu D t, axial yield C (Fty/Ftu) of the lower,
    transverse Ktru Ftu D t and Ktry Fty D t over Aav = 6 / (3/A1 + 1/A2 + 1/A3 + 1/A4). Oblique:
    (Pa/Pua)^1.6 + (Ptr/Ptru)^1.6 = 1, the same with yield values. A load that pushes meets bearing only. Bushing:
    1.85 Fcy x bore x length. Ductile wrought metal, stiff pin, symmetric lug.

    References
    ----------
    M. A. Melcon, F. M. Hoblit, Product Engineering, 1953; NASA TM X-73305 section B2 (quoted elsewhere); ASME BTH-1
    section 3-3.3 (from memory).

    Examples
    --------
    >>> from beam import Requirement, Service
    >>> from materials import metal
    >>> required = Requirement(services=[Service(name="room", temperature=293)], special_factor=1.2,
    ...                        special_factor_basis="invented", route="allowables", mixed="an example")
    >>> pull = JointLoads(force=[[60e3, 0, 0]])
    >>> for width in (0.04, 0.05):
    ...     lug = Lug(name="pivot", hole=20e-3, width=width, edge=width / 2, thickness=15e-3, pin_diameter=19.9e-3,
    ...               metal=metal("7075-T6 bar"))
    ...     print(round(float(lug.margins(pull, required)["margin"].min()), 3))
    0.142
    0.713
    """

    name: str
    hole: Annotated[float, SIZE]
    width: Annotated[float, SIZE]
    edge: Annotated[float, SIZE]
    thickness: Annotated[float, SIZE]
    metal: Metal
    pin_diameter: Annotated[float, SIZE]
    bushing: Bushing | None = None
    curves: LugCurves = default(LugCurves())
    moves: bool = False
    areas: Annotated[OptionalNumbers, Limits("m2", shape=(4,), above=0.0)] = default(None)
    arm: Annotated[float | None, SIZE] = None
    sideways: Annotated[float, Limits("-", at_least=0.0, at_most=1.0)] = 0.1
    factors: JointFactors = default(JointFactors())
    station: Annotated[float, Limits("m", at_least=0.0)] = 0.0

    def __post_init__(self) -> None:
        super().__post_init__()
        owner, D, slack = f"Lug '{self.name}'", self.hole, 1e-9
        for what, size, (least, most) in (("edge", self.edge, EDGES), ("width", self.width, WIDTHS)):
            if not least - slack <= size / D <= most + slack:
                limit = f"{least:g} to {most:g} diameters of the hole, {least * D:g} to {most * D:g}"
                reject(f"{owner}: {what} [m]", f"{size:g}", limit, "beyond what lug methods were tested for")
        if self.bushing is not None and not np.isclose(self.bushing.diameter, D, rtol=1e-6):
            reject(f"{owner}: bushing", f"of diameter {self.bushing.diameter:g}", f"of the hole, {D:g}")
        bore = D if self.bushing is None else self.bushing.bore
        if not THIN_PIN * bore < self.pin_diameter <= bore * (1 + slack):
            limit = f"above {THIN_PIN:g} and up to 1 of its hole, {THIN_PIN * bore:g} to {bore:g}"
            cause = "a pin thinner than that bears on a line"
            reject(f"{owner}: pin_diameter [m]", f"{self.pin_diameter:g}", limit, cause)
        if self.moves and self.factors.bearing is None:
            cause = "14 CFR 23.623: a joint with clearance that moves or is pounded; state the factor and its basis"
            reject(f"{owner}: factors: bearing [-]", None, "given for a pivot that moves", cause)
        if self.moves and (self.bushing is None or self.bushing.allowed_pressure is None):
            reject(f"{owner}: bushing: allowed_pressure [Pa]", None, "given for a pivot that moves")

    @property
    def mass(self) -> float:
        """Of a rectangle from the root of the lug to its end, less the hole, and of its bushing [kg]."""
        plate = self.width * ((self.arm or self.width / 2) + self.edge) - np.pi / 4 * self.hole**2
        own = self.metal.density * plate * self.thickness
        return float(own) + (0.0 if self.bushing is None else self.bushing.mass)

    @property
    def across_grain(self) -> tuple[float, float]:
        """Ultimate and yield strength that count at the end of the lug [Pa]."""
        metal = self.metal
        return metal.Ftu_across or metal.Ftu, metal.Fty_across or metal.Fty

    @property
    def mean_area(self) -> float:
        """Aav of the transverse method [m2]."""
        if self.areas is not None:
            A1, A2, A3, A4 = self.areas
        else:
            w, D, t = self.width, self.hole, self.thickness
            A1 = A4 = (w / 2 - D / (2 * np.sqrt(2))) * t
            A2 = (w - D) * t / 2
            A3 = min(A2, (self.edge - D / 2) * t)
        return float(6 / (3 / A1 + 1 / A2 + 1 / A3 + 1 / A4))

    @property
    def strength(self) -> LugStrength:
        """Loads that the lug bears, without factors [N]."""
        bears = self.hole * self.thickness
        Ftux, Ftyx = self.across_grain
        ultimate = self._by_curves() if self.curves.net is not None else self._closed_form()
        Fbru, Fbry = self._bearing(self.edge / self.hole)
        if self.curves.net is None and Fbru > Ftux:
            ultimate["bearing"] = Fbru * bears
        limit = {
            "net yield": self.metal.Fty * (self.width - self.hole) * self.thickness,
            "shear-out yield": 2 * (self.edge - self.hole / 2) * self.thickness * Ftyx / np.sqrt(3),
            "bearing yield": Fbry * bears,
        }
        if self.curves.yielding is not None:
            least = min(ultimate.values())
            limit = {"axial yield": self.curves.yielding.at(least / (bears * Ftux)) * Ftyx / Ftux * least}
        across = None
        if self.curves.transverse_yield is not None:
            place = self.mean_area / bears
            yields = self.curves.transverse_yield.at(place) * bears * Ftyx
            rule = self.curves.transverse
            across = (yields if rule is None else rule.at(place) * bears * Ftux), yields
        Fbru, Fbry = self._bearing(2.0)
        return LugStrength(ultimate, limit, across, (Fbru * bears, Fbry * bears))

    def _bearing(self, edge_ratio: float) -> tuple[float, float]:
        """Bearing strengths at ultimate and limit [Pa]: of the handbook, else the tensile ones."""
        metal, short = self.metal, edge_ratio < 2.0 - 1e-9
        known = metal.Fbru is not None and metal.Fbry is not None
        known = known and not (short and (metal.Fbru_1_5 is None or metal.Fbry_1_5 is None))
        return metal.bearing_strength(edge_ratio) if known and edge_ratio >= 1.5 else self.across_grain

    def _by_curves(self) -> dict[str, float]:
        """Axial strengths by the curves [N]."""
        assert self.curves.net is not None
        assert self.curves.bearing is not None
        D, w, t = self.hole, self.width, self.thickness
        return {
            "net tension": self.curves.net.at(w / D) * self.metal.Ftu * (w - D) * t,
            "shear-bearing": self.curves.bearing.at(self.edge / D) * self.across_grain[0] * D * t,
        }

    def _closed_form(self) -> dict[str, float]:
        """Axial strengths by ASME BTH-1 [N]."""
        D, t, metal = self.hole, self.thickness, self.metal
        pin, a, across = self._bearing_pin, self.edge - D / 2, self.across_grain[0]
        be, Cr, counts, phi = self._effective
        return {
            "net tension": float(Cr * metal.Ftu * 2 * t * counts),
            "splitting": float(Cr * across * (1.13 * a + 0.92 * be / (1 + be / D)) * t),
            "shear-out": float(0.7 * across * 2 * (a + pin / 2 * (1 - np.cos(phi))) * t),
        }

    @property
    def _bearing_pin(self) -> float:
        """Diameter that bears in the hole: of the pin, or of a bushing, which fills it [m]."""
        return self.pin_diameter if self.bushing is None else self.hole

    @property
    def _effective(self) -> tuple[float, float, float, float]:
        """Width beside the hole [m], Cr [-], width that counts [m], angle of the shear planes [rad] of ASME BTH-1."""
        D, t, metal, pin = self.hole, self.thickness, self.metal, self._bearing_pin
        be = (self.width - D) / 2
        Cr = 1 - 0.275 * np.sqrt(max(1 - (pin / D) ** 2, 0.0))
        counts = min(be, 4 * t, 0.6 * be * metal.Ftu / metal.Fty * np.sqrt(D / be))
        return be, float(Cr), float(counts), float(np.radians(55 * pin / D))

    def _sizes(self) -> list[Line]:
        """Lines of the sizes of the lug."""
        return given("m", D=self.hole, w=self.width, e=self.edge, t=self.thickness)

    def _axial_work(self, mode: str, load: float, edge_ratio: float) -> list[Line]:
        """Lines to the strength P of an axial mode, `load` [N]; its bearing strength is that at an edge ratio [-]."""
        metal, (Ftux, Ftyx) = self.metal, self.across_grain
        at_limit = "yield" in mode
        lines = self._sizes()
        if mode in ("net tension", "net yield"):
            lines += given("Pa", self._said, Ftu=metal.Ftu, Fty=metal.Fty)
        elif not mode.startswith(("bearing", "pushed")):
            lines += given("Pa", self._said, Ftux=Ftux, Ftyx=Ftyx)
        if mode.startswith(("bearing", "pushed")):
            lines += given(
                "Pa", f"at e/D {edge_ratio:.4g}; {self._said}", Fbr=self._bearing(edge_ratio)[at_limit]
            )
            return [*lines, line("P", load, "N", "Fbr * D * t")]
        if mode == "net yield":
            return [*lines, line("P", load, "N", "Fty * (w - D) * t")]
        if mode == "shear-out yield":
            return [*lines, line("P", load, "N", "2 * (e - D / 2) * t * Ftyx / sqrt(3)")]
        if mode == "axial yield":
            ultimate = min(self.strength.ultimate.values())
            lines += given("N", "the lowest at ultimate load", Pu=ultimate)
            lines += given("-", self._limit_rule, C=load / (Ftyx / Ftux * ultimate))
            return [*lines, line("P", load, "N", "C * Ftyx / Ftux * Pu")]
        if self.curves.net is not None and self.curves.bearing is not None:
            if mode == "net tension":
                lines += given("-", self._rule, Kt=self.curves.net.at(self.width / self.hole))
                return [*lines, line("P", load, "N", "Kt * Ftu * (w - D) * t")]
            lines += given("-", self._rule, Kbr=self.curves.bearing.at(self.edge / self.hole))
            return [*lines, line("P", load, "N", "Kbr * Ftux * D * t")]
        be, Cr, counts, phi = self._effective
        lines += given("m", "bears in the hole", Dp=self._bearing_pin)
        lines += [
            line("be", be, "m", "(w - D) / 2"),
            line("a", self.edge - self.hole / 2, "m", "e - D / 2"),
            line("Cr", Cr, "-", "1 - 0.275 * sqrt(1 - (Dp / D)^2)"),
        ]
        if mode == "net tension":
            text = "min(be, 4 * t, 0.6 * be * Ftu / Fty * sqrt(D / be))"
            return [*lines, line("beff", counts, "m", text), line("P", load, "N", "Cr * Ftu * 2 * t * beff")]
        if mode == "splitting":
            return [*lines, line("P", load, "N", "Cr * Ftux * (1.13 * a + 0.92 * be / (1 + be / D)) * t")]
        return [
            *lines,
            line("phi", phi, "rad", "55 * pi / 180 * Dp / D"),
            line("P", load, "N", "0.7 * Ftux * 2 * (a + Dp / 2 * (1 - cos(phi))) * t"),
        ]

    def _across_work(self, at: int) -> list[Line]:
        """Lines to the transverse strength Ptr at ultimate (0) or limit load (1)."""
        found, bears = self.strength.across, self.hole * self.thickness
        assert found is not None
        rule = self.curves.transverse if at == 0 else None
        strength = self.across_grain[0 if rule is not None else 1]
        w, D, t = self.width, self.hole, self.thickness
        if self.areas is not None:
            lines = given("m2", **{f"A{k + 1}": area for k, area in enumerate(self.areas)})
        else:
            A1, A2 = (w / 2 - D / (2 * np.sqrt(2))) * t, (w - D) * t / 2
            lines = [
                line("A1", A1, "m2", "(w / 2 - D / (2 * sqrt(2))) * t"),
                line("A2", A2, "m2", "(w - D) * t / 2"),
                line("A3", min(A2, (self.edge - D / 2) * t), "m2", "min(A2, (e - D / 2) * t)"),
                line("A4", A1, "m2", "A1"),
            ]
        return [
            *lines,
            line("Aav", self.mean_area, "m2", "6 / (3 / A1 + 1 / A2 + 1 / A3 + 1 / A4)"),
            line("q", self.mean_area / bears, "-", "Aav / (D * t)"),
            *given("-", f"curve at q; {self._across_rule}", Ktr=found[at] / (bears * strength)),
            *given("Pa", self._said, Ftr=strength),
            line("Ptr", found[at], "N", "Ktr * D * t * Ftr"),
        ]

    @checked
    def margins(self, loads: JointLoads, requirement: Requirement) -> Table:
        """Margins of the lug and its bushing.

        Parameters
        ----------
        loads : JointLoads
            Columns of `force`: axial, toward the end positive; transverse; sideways, along the pin.
        requirement : Requirement
            Factors.

        Returns
        -------
        DataFrame
            Rows of the margin table.

        Raises
        ------
        ValueError
            If there is a moment, a transverse load without its curve, or a sideways load without the arm.
        """
        return judged_rows(self._judged(loads, requirement), requirement)

    def _judged(self, loads: JointLoads, requirement: Requirement) -> list[Judged]:
        """Checks of the lug and its bushing, each with its lines."""
        axial, transverse, sideways = loads.force.T
        self._refuse_loads(loads)
        pull, push, total = np.maximum(axial, 0.0), np.maximum(-axial, 0.0), np.hypot(axial, transverse)
        found, said = self.strength, self._said
        own = "" if self.metal.Fbru and self.metal.Fbry else "own rule: tensile strength for bearing; "
        checks = []
        more = self.factors.fitting_of("bearing")[0] / self.factors.fitting_of("strength")[0]
        for at, (level, modes, how) in enumerate(
            ((BOTH[0], found.ultimate, self._rule), (BOTH[1], found.limit, self._limit_rule))
        ):
            tail, pushed = (" yield" if level == "limit" else ""), found.pushed[at]
            for mode, load in modes.items():
                kind: Kind = "bearing" if mode in BEARING else "strength"
                ratio, work = strength_ratio(load, pull), self._axial(mode, load, pull)
                checks.append(JointCheck("lug", mode, level, ratio, f"{how}; {said}", kind, work=work))
            ratio, mode = strength_ratio(pushed, push), f"pushed{tail}"
            work = self._axial(mode, pushed, push)
            checks.append(JointCheck("lug", mode, level, ratio, own + said, "bearing", work=work))
            if found.across is not None:
                weighed = {m: load / (more if m in BEARING else 1.0) for m, load in modes.items()}
                least = min(weighed, key=lambda one: weighed[one])
                use = pull / weighed[least] + push * more / pushed
                ratio = interaction_ratio((use, OBLIQUE), (abs(transverse) / found.across[at], OBLIQUE))
                work = self._oblique(at, axial, ratio, modes, least, more)
                text = f"{self._across_rule}; {said}"
                checks.append(JointCheck("lug", f"oblique{tail}", level, ratio, text, work=work))
            if self.arm is not None:
                w, t = self.width, self.thickness
                side = np.maximum(abs(sideways), self.sideways * total)
                bent = 6 * self.arm * (side / (w * t**2) + abs(transverse) / (t * w**2))
                stress = abs(axial) / (w * t) + bent
                ratio = strength_ratio((self.metal.Ftu, self.metal.Fty)[at], stress)
                text = f"elastic; sideways at least {self.sideways:g} of the load; {said}"
                work = self._root(at, side, stress)
                checks.append(JointCheck("lug", f"root section{tail}", level, ratio, text, work=work))
        checks += self._of_bushing(total)
        return [Judged(self.name, checks, loads, self.factors, self.station)]

    def _axial(self, mode: str, strength: float, load: Array) -> Callable[[int], list[Line]]:
        """Lines of an axial mode, of its load (case,) [N]."""
        ratio = 2.0 if mode.startswith("pushed") else self.edge / self.hole
        return lambda i: [
            *self._axial_work(mode, strength, ratio),
            line("R", strength / load[i], "-", "P / abs(F1)"),
        ]

    def _oblique(
        self, at: int, axial: Array, ratio: Array, modes: dict[str, float], least: str, more: float
    ) -> Callable[[int], list[Line]]:
        """Lines of the interaction of axial and transverse load; a bearing mode weighs by the factors' ratio."""
        bears = least in BEARING

        def work(i: int) -> list[Line]:
            mode = least if axial[i] > 0.0 else f"pushed{' yield' if at else ''}"
            strength = modes[least] if axial[i] > 0.0 else self.strength.pushed[at]
            weighs = more if bears or axial[i] <= 0.0 else 1.0
            return [
                *self._axial_work(
                    mode, strength, 2.0 if mode.startswith("pushed") else self.edge / self.hole
                ),
                *given("-", "bearing over fitting factor", fb=weighs),
                line("ua", abs(axial[i]) * weighs / strength, "-", "abs(F1) * fb / P"),
                *self._across_work(at),
                line("R", ratio[i], "-", "1 / (ua^1.6 + (abs(F2) / Ptr)^1.6)^(1 / 1.6)"),
            ]

        return work

    def _root(self, at: int, side: Array, stress: Array) -> Callable[[int], list[Line]]:
        """Lines of the root section."""
        strength, name = ((self.metal.Ftu, "Ftu"), (self.metal.Fty, "Fty"))[at]
        return lambda i: [
            *self._sizes(),
            *given("m", arm=self.arm or 0.0),
            *given("-", "least share of the load sideways", share=self.sideways),
            *given("Pa", self._said, **{name: strength}),
            line("side", side[i], "N", "max(abs(F3), share * sqrt(F1^2 + F2^2))"),
            line(
                "s", stress[i], "Pa", "abs(F1) / (w * t) + 6 * arm * (side / (w * t^2) + abs(F2) / (t * w^2))"
            ),
            line("R", strength / stress[i], "-", f"{name} / s"),
        ]

    def _of_bushing(self, load: Array) -> list[JointCheck]:
        """Yield and pressure of the bushing under the load on it (case,)."""
        if self.bushing is None:
            return []
        bushing, contact = self.bushing, self.pin_diameter * min(self.bushing.length, self.thickness)
        said = of_metal(bushing.metal, "Fcy")

        def work(name: str, allowed: float, text: str, formula: str) -> Callable[[int], list[Line]]:
            return lambda i: [
                *given("m", Dp=self.pin_diameter, L=bushing.length, t=self.thickness),
                line("Ab", contact, "m2", "Dp * min(L, t)"),
                *given("Pa", text, **{name: allowed}),
                line("P", load[i], "N", "sqrt(F1^2 + F2^2)"),
                line(
                    "R", (BUSHING_YIELD if name == "Fcy" else 1.0) * allowed * contact / load[i], "-", formula
                ),
            ]

        yields = BUSHING_YIELD * bushing.metal.need("Fcy") * contact
        text = f"{BUSHING_YIELD:g} Fcy (quoted elsewhere); {said}"
        out = [
            JointCheck(
                "bushing",
                "bearing yield",
                "limit",
                strength_ratio(yields, load),
                text,
                kind="bearing",
                work=work("Fcy", bushing.metal.need("Fcy"), said, "1.85 * Fcy * Ab / P"),
            )
        ]
        if bushing.allowed_pressure is not None:
            ratio = strength_ratio(bushing.allowed_pressure * contact, load)
            out.append(
                JointCheck("bushing", "pressure", "limit", ratio, f"{bushing.pressure_basis}", "bearing",
                           work=work("p", bushing.allowed_pressure, f"{bushing.pressure_basis}", "p * Ab / P"))
            )  # fmt: skip
        return out

    def _refuse_loads(self, loads: JointLoads) -> None:
        """Refuse loads that no mode of this lug covers."""
        owner, (_, transverse, sideways) = f"Lug '{self.name}': loads", loads.force.T
        if abs(loads.moment).max() > 0.0:
            cause = "one pin holds no moment: give the force at the center of the hole"
            reject(f"{owner}: moment [N m]", f"{abs(loads.moment).max():g}", "0", cause)
        if self.curves.transverse_yield is None and abs(transverse).max() > 0.0:
            cause = "the closed form is axial: give LugCurves(transverse_yield=...) as you read it"
            reject(
                f"{owner}: transverse force [N]", f"{abs(transverse).max():g}", "0 without its curve", cause
            )
        if self.arm is None and abs(sideways).max() > 0.0:
            reject(
                f"{owner}: sideways force [N]", f"{abs(sideways).max():g}", "0 without the arm", "give arm"
            )

    @property
    def _said(self) -> str:
        """Words for the metal of the lug."""
        metal = self.metal
        used = [name for name in ("Ftu_across", "Fbru", "Fbru_1_5") if getattr(metal, name) is not None]
        grain = "" if metal.Ftu_across else "; strengths along the grain stand for those across"
        return of_metal(metal, "Ftu", *used) + grain

    @property
    def _rule(self) -> str:
        """Words for the axial method."""
        if self.curves.net is None or self.curves.bearing is None:
            return "closed form of ASME BTH-1 (from memory)"
        return f"curves: {self.curves.net.source}; {self.curves.bearing.source}"

    @property
    def _limit_rule(self) -> str:
        """Words for the axial method at limit load."""
        if self.curves.yielding is not None:
            return f"curve: {self.curves.yielding.source}"
        return "plain stress on net section, shear-out planes and bearing (own rule)"

    @property
    def _across_rule(self) -> str:
        """Words for the transverse method."""
        curve = self.curves.transverse_yield
        if curve is None:
            return ""
        missing = "" if self.curves.transverse is not None else ", yield strength at ultimate load"
        return f"power {OBLIQUE:g}; transverse curve: {curve.source}{missing}"
