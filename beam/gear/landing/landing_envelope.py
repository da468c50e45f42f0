"""The landing that the code means: drops at every attitude, mass, speed and variant of the unit, and what governs.

| choice | answers |
|---|---|
| descent speed of each mass from its own wing loading, 7 to 10 ft/s | 14 CFR 23.473(d) |
| drop height of each mass, at least 9.2 in, beside it | 23.725(a) |
| half the mass on one unit, nose clear | 23.725(b) |
| attitudes of their own: three points, nose clear, tail-down | 23.479(a)(2), 23.481(a)(2), 23.725(c) |
| ground speed zero, and touchdown with the wheel not turning | 23.479(b), Appendix D |
| tail-down without drag, n from the drop without ground speed | 23.481(b) |
| lift 2/3 of the weight at limit, all of it at reserve energy | 23.473(e), 23.723(b), 23.727 |
| n >= 2.67, n - L >= 2.0 | 23.473(g) |
| the larger of Appendix D and the drop | 23.479(c) |
"""

from collections.abc import Callable, Sequence
from functools import cached_property
from itertools import product
from typing import Annotated, Any

import numpy as np
from scipy.constants import g

from beam.flexibility import Flexibility
from beam.gear.landing.variants import (
    NOMINAL,
    VARIANTS,
    Variant,
    corners_of,
    shocks_of,
    tire_factor,
    tread_factor,
)
from beam.gear.main_gear import MainGear
from beam.gear.motion.many_drops import Drops, drops
from beam.gear.one_gear import check_one_gear
from beam.gear.parts.rotation import rising_root
from beam.gear.parts.spring import polytropic_force
from beam.loads import (
    Airplane,
    Equipment,
    Landing,
    SpinUp,
    contact_speed,
    drop_height,
    limit_descent_speed,
    required_load_factor,
    reserve_descent_speed,
    static_reactions,
)
from beam.loads.layout import tail_pitch
from beam.loads.part23.landing import CONDITIONS, DropInstant, FactorChoice, LandingCondition, LandingPoint
from materials.checks import Array, Frozen, Items, Limits, Table, checked, number, reject

RTOL = {False: 1e-7, True: 1e-6}
"""Error of a step of drops on a rigid and on a flexible strut: the energy balance of each then closes to 1e-5 [-]."""

MOST_ERROR = 1e-3
"""Error of the energy balance beyond which a drop is refused [-]."""


class LandingEnvelope(Frozen):
    """Every drop of the landing envelope, what governs, and the landing to design for, from `landing_envelope`.

    Parameters
    ----------
    table : DataFrame
        One row for each condition, mass, ground speed and variant, see `landing_envelope`.
    airplane : Airplane
        The airplane sheet.
    gear : MainGear
        The main gear.
    factors : str
        "per condition" or "one for all".
    lift_ratio : float
        Wing lift over weight at limit [-].
    drop_instants : bool
        Whether spin-up and spring-back of the drop become load cases.
    flexible : bool
        Whether the strut was flexible in the drops.
    notes : iterable of str
        What was chosen, assumed, switched off or found; `summary` prints them.

    Examples
    --------
    >>> import beam, tarn  # examples/tarn.py
    >>> found = beam.landing_envelope(tarn.AIRPLANE, tarn.GEAR, variants=())
    >>> found.landing.points[-1].condition, round(found.landing.points[-1].load_factor, 2)
    ('tail-down', 3.41)
    """

    table: Table
    airplane: Airplane
    gear: MainGear
    factors: FactorChoice
    lift_ratio: float
    drop_instants: bool
    flexible: bool
    notes: Items[str]

    @property
    def governing(self) -> Table:
        """Rows of the table that govern something."""
        return self.table[self.table["governs"] != ""].reset_index(drop=True)

    @cached_property
    def landing(self) -> Landing:
        """The landing to design for; a ValueError says where a load factor is beyond any airplane's."""
        points = [
            self._point(condition, mass)
            for condition in CONDITIONS
            for mass in dict.fromkeys((self.airplane.landing_mass, self.airplane.max_mass))
        ]
        at = {mass: [one for one in points if one.mass == mass] for mass in {one.mass for one in points}}
        most = {mass: max(one.load_factor for one in some) for mass, some in at.items()}
        reserve = [
            one.reserve_load_factor for one in at[self.airplane.landing_mass] if one.reserve_load_factor
        ]
        table, landing_mass = self.table, self.airplane.landing_mass
        nominal = table[
            (table["variant"] == NOMINAL.name) & (table["kind"] == "limit") & (table["ground_speed"] > 0)
        ]
        nominal = nominal[(nominal["condition"] == "nose clear") & (nominal["mass"] == landing_mass)]
        wheel = SpinUp(
            wheel_inertia=self.gear.wheel_inertia,
            rolling_radius=self.gear.rolling_radius,
            time_to_peak=float(nominal["time_to_peak"].iloc[0]),
        )
        return Landing(
            load_factor=most[landing_mass],
            max_mass_load_factor=most[self.airplane.max_mass],
            lift_ratio=self.lift_ratio,
            spin_up=wheel,
            reserve_load_factor=max(reserve),
            points=points,
            factors=self.factors,
        )

    def _point(self, condition: LandingCondition, mass: float) -> LandingPoint:
        """What governs one condition at one mass [kg]."""
        rows = self.table[(self.table["condition"] == condition) & (self.table["mass"] == mass)]
        limit, reserve = rows[rows["kind"] == "limit"], rows[rows["kind"] == "reserve"]
        top = _governing(limit, condition)
        n = float(top["load_factor"])
        if not n < 20.0:
            left = (
                f"the shock bottoms with {top['energy_left']:.4g} J left"
                if top["bottomed"]
                else "no bottoming"
            )
            reject(f"LandingEnvelope.landing: load factor of {condition} at {mass:g} kg [-]", f"{n:.4g}", "< 20",
                   f"{top['variant']}: {left}")  # fmt: skip
        instants: list[DropInstant] = []
        if self.drop_instants and condition == "nose clear":
            moving: Any = limit[limit["ground_speed"] > 0]
            instants.append(self._instant("spin-up", moving.loc[moving["spin_up_drag"].idxmax()]))
            if self.flexible:
                instants.append(self._instant("spring-back", moving.loc[moving["spring_back_drag"].idxmin()]))
        factor = float(reserve["load_factor"].max())
        return LandingPoint(
            condition=condition,
            mass=mass,
            load_factor=required_load_factor(n, self.lift_ratio),
            attitude_deg=float(top["attitude_deg"]),
            instants=instants,
            reserve_load_factor=factor if condition != "three-point" else None,
            basis=_named(top),
        )

    def _instant(self, name: Any, row: Any) -> DropInstant:
        """Load of the wheel at an instant of one row of the table."""
        part = name.replace("-", "_")
        return DropInstant(
            name=name,
            drag=float(row[f"{part}_drag"]),
            ground_drag=float(row[f"{part}_ground_drag"]),
            vertical=max(float(row[f"{part}_vertical"]), 0.0),
            fraction=float(np.clip(row[f"{part}_stroke"] / self.gear.shock.max_stroke, 0.0, 1.0)),
            basis=_named(row),
        )

    def summary(self) -> str:
        """The governing rows and the notes, as text."""
        rows = self.governing
        shown = rows[["condition", "attitude_deg", "mass", "ground_speed", "variant", "load_factor"]].copy()
        shown["stroke %"] = 100 * rows["stroke"] / self.gear.shock.max_stroke
        shown["drag kN"], shown["at kN"] = rows["spin_up_drag"] / 1e3, rows["spin_up_vertical"] / 1e3
        shown["governs"] = rows["governs"]
        names = {"attitude_deg": "deg", "mass": "kg", "ground_speed": "m/s", "load_factor": "n"}
        text = shown.rename(columns=names).to_string(index=False, float_format="{:.3f}".format)
        return "\n".join([text, *(f"* {note}" for note in self.notes)])


def _governing(limit: Any, condition: LandingCondition) -> Any:
    """Row of the largest load factor among the limit drops of one condition and mass."""
    # 23.481(b): the reactions of the tail-down landing are vertical, so n is that of the drop without ground speed
    rows = limit[limit["ground_speed"] == 0] if condition == "tail-down" else limit
    return rows.loc[rows["load_factor"].idxmax()]


def _named(row: Any) -> str:
    speed = f"ground speed {row['ground_speed']:.3g} m/s"
    return f"{row['variant']}, {row['attitude_deg']:.3g} deg, {row['mass']:g} kg, {speed}"


@checked
def landing_envelope(
    airplane: Airplane,
    gear: MainGear,
    *,
    flexibility: Flexibility | None = None,
    variants: Annotated[Sequence[Variant], Limits(items=0)] = VARIANTS,
    corners: bool = True,
    factors: FactorChoice = "per condition",
    drop_instants: bool = True,
    nose_clear_attitude_deg: Annotated[
        float, Limits("deg", above=-30.0, below=30.0, cause="given in radians?")
    ]
    | None = None,
    lift_ratio: Annotated[
        float, Limits("-", at_least=0.0, at_most=0.667, cause="23.473(e) allows lift of 2/3 of the weight")
    ] = 2 / 3,
    equipment: Equipment | None = None,
    workers: Annotated[int, Limits("-", at_least=1, at_most=256)] | None = None,
    progress: Callable[[str], object] | None = None,
) -> LandingEnvelope:
    """Drop one main unit at every attitude, mass, speed and variant that the landing conditions ask for.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet; its tail-down angle and main wheel radius are needed.
    gear : MainGear
        The starboard main gear, one gas chamber and an orifice. Its wheel must be that of the sheet.
    flexibility : Flexibility, optional
        That of the strut, such as `Strut.flexibility` gives it; None drops on a rigid strut, which is named.
    variants : sequence of Variant
        Deviations of the unit, each alone beside the nominal unit; an empty one leaves the nominal unit, which is
        named.
    corners : bool
        Also drop all corners of orifice, charge and gas temperature together.
    factors : str
        "per condition": each condition at each mass gets its own n. "one for all": all get the largest.
    drop_instants : bool
        Make spin-up and spring-back of the drop load cases beside Appendix D.
    nose_clear_attitude_deg : float, optional
        Attitude with the nose wheel just clear; None takes that of the three-point landing, as 23.479(a)(2) allows
        [deg].
    lift_ratio : float
        Wing lift over weight at limit [-].
    equipment : Equipment, optional
        With a tail point, the attitudes are checked against the clearance of the tail.
    workers : int, optional
        Processes that share the drops; None: one [-].
    progress : callable, optional
        Called with a line of text for each batch of drops.

    Returns
    -------
    LandingEnvelope
        `table` has the columns condition, kind ("limit", "reserve"), attitude_deg, mass [kg], ground_speed [m/s],
        variant, speed (sink speed) [m/s], drop_height [m], load_factor [-], peak_vertical [N], time_to_peak [s],
        peak_shock_force [N], peak_tire_deflection, stroke [m], bottomed, energy_left [J], energy_error [-], standing
        (static stroke over full stroke; NaN where the gas does not carry the airplane) [-], spin_up_drag,
        spin_up_ground_drag, spin_up_vertical [N], spin_up_stroke [m], the same four of spring_back, and governs.

    Raises
    ------
    ValueError
        If the wheels of sheet and gear differ, an attitude is beyond the clearance of the tail, or an input is outside
        its limits.
    RuntimeError
        If a drop cannot be integrated: a strut too soft, a shock that still shortens.

    Notes
    -----
    n = F / W + L of each drop; the largest over each variant alone and over the corners counts, raised to the floors
    n >= 2.67 and n - L >= 2.0. A variant that bottoms stays a row, with the energy left; its n counts. Reserve energy:
    1.2 times the limit speed, lift 1, each variant alone, no ground speed.
    Source: 14 CFR 23.473, 23.479, 23.481, 23.723, 23.725, 23.727.

    Examples
    --------
    >>> import beam, tarn  # examples/tarn.py
    >>> found = beam.landing_envelope(tarn.AIRPLANE, tarn.GEAR, variants=())
    >>> limit = found.table.query("kind == 'limit' and mass == 1180 and ground_speed == 0")
    >>> limit.groupby("condition").load_factor.max().round(3).to_dict()
    {'nose clear': 2.969, 'tail-down': 3.478, 'three-point': 2.969}
    """
    from pandas import DataFrame, concat

    check_one_gear("landing_envelope", airplane, gear)
    attitudes = _attitudes(airplane, equipment, nose_clear_attitude_deg)
    alone = (NOMINAL, *variants)
    named = [one.name for one in alone]
    if len(set(named)) < len(named):
        reject("landing_envelope: names of variants", ", ".join(named), "all different, and none 'nominal'")
    combined = corners_of(alone) if corners else ()
    masses = list(dict.fromkeys((airplane.landing_mass, airplane.max_mass)))
    rows = [
        (variant, mass, moving, kind)
        for kind, some in (("limit", (*alone, *combined)), ("reserve", alone))
        for mass, moving, variant in product(masses, (False, True), some)
        if kind == "limit" or not moving
    ]
    frame = _asked(airplane, rows, lift_ratio).assign(standing=_standing(airplane, gear, rows))
    tilts = list(dict.fromkeys(attitudes.values()))
    if progress:
        progress(f"landing envelope: {len(rows)} drops at each of {len(tilts)} attitudes")
    try:
        found = _dropped(gear, flexibility, [row[0] for row in rows], frame, tilts, workers or 1)
    except RuntimeError as error:
        raise RuntimeError(f"landing_envelope: {error}; a strut too soft, or too little damping?") from error
    table = concat([found[tilts.index(angle)].assign(condition=name, attitude_deg=angle) for name, angle in
                    attitudes.items()], ignore_index=True)  # fmt: skip
    worst = table.loc[table["energy_error"].idxmax()]
    if not worst["energy_error"] <= MOST_ERROR:
        got = f"{worst['energy_error']:.2g}, {_named(worst)}"
        raise RuntimeError(
            f"landing_envelope: energy balance off by {got}; a strut too soft, or a stop too stiff?"
        )
    table.insert(0, "governs", "")
    first = [
        "condition",
        "kind",
        "attitude_deg",
        "mass",
        "ground_speed",
        "variant",
        "load_factor",
        "peak_vertical",
    ]
    table = DataFrame(
        table[[*first, *(name for name in table if name not in first and name != "governs"), "governs"]]
    )
    _mark(table)
    notes = _notes(
        table, variants, combined, factors, drop_instants, nose_clear_attitude_deg, lift_ratio, flexibility
    )
    return LandingEnvelope(
        table=table,
        airplane=airplane,
        gear=gear,
        factors=factors,
        lift_ratio=lift_ratio,
        drop_instants=drop_instants,
        flexible=flexibility is not None,
        notes=notes,
    )


_Row = tuple[Variant, float, bool, str]


def _attitudes(
    airplane: Airplane, equipment: Equipment | None, nose_clear: float | None
) -> dict[LandingCondition, float]:
    """Attitude of each condition [deg], each within the clearance of the tail."""
    level, tail_down = airplane.level_attitude_deg, airplane.required("tail_down_angle_deg", "23.481(a)(2)")
    clear = level if nose_clear is None else nose_clear
    what = "landing_envelope: nose_clear_attitude_deg [deg]"
    number(what, clear, at_least=level, at_most=tail_down, cause="level attitude to tail-down angle")
    touches = None if equipment is None else tail_pitch(airplane, equipment)
    if touches is not None:
        number("landing_envelope: tail_down_angle_deg of the airplane [deg]", tail_down, at_most=level + touches,
               cause="the tail touches there: 23.481(a)(2) asks for clearance everywhere")  # fmt: skip
    return {"three-point": level, "nose clear": clear, "tail-down": tail_down}


def _asked(airplane: Airplane, rows: Sequence[_Row], lift_ratio: float) -> Any:
    """What each drop starts from: one row for each variant, mass, ground speed and kind."""
    from pandas import DataFrame

    mass = np.array([row[1] for row in rows])
    loading = mass * g / airplane.wing_area
    reserve = np.array([row[3] == "reserve" for row in rows])
    touchdown = {one: contact_speed(airplane, one) for one in np.unique(mass).tolist()}
    return DataFrame({
        "kind": [row[3] for row in rows],
        "mass": mass,
        "ground_speed": [touchdown[row[1]] if row[2] else 0.0 for row in rows],
        "variant": [row[0].name for row in rows],
        "speed": np.where(reserve, reserve_descent_speed(loading), limit_descent_speed(loading)),
        "drop_height": np.where(reserve, 1.44, 1.0) * drop_height(loading),
        "lift_ratio": np.where(reserve, 1.0, lift_ratio),
    })  # fmt: skip


def _standing(airplane: Airplane, gear: MainGear, rows: Sequence[_Row]) -> Array:
    """Static stroke over full stroke of each row, at the c.g. that loads the mains most; NaN: the gas carries less."""
    static = static_reactions(airplane).groupby("mass")["main"].max()
    load = static.loc[[row[1] for row in rows]].to_numpy()
    shocks = shocks_of(gear, [row[0] for row in rows])
    gas = (shocks.pressure, shocks.volume, shocks.area, shocks.slow_exponent, shocks.ambient_pressure)
    full = np.broadcast_to(shocks.max_stroke, load.shape)
    short = polytropic_force(full, *gas) < gear.shock_at_rest(full, load)
    low = np.minimum(
        polytropic_force(np.zeros_like(full), *gas) - gear.shock_at_rest(np.zeros_like(full), load), 0.0
    )

    def lacking(stroke: Array) -> Array:
        return np.asarray(
            polytropic_force(stroke, *gas) - gear.shock_at_rest(np.clip(stroke, 0.0, full), load)
        )

    # a charge that carries more than the airplane keeps the shock extended
    root = rising_root(
        lambda s: np.where(low == 0.0, s, np.where(short, s - full, lacking(s))), 0.0 * full, full
    )
    return np.where(short, np.nan, root / full)


def _dropped(
    gear: MainGear,
    flexibility: Flexibility | None,
    variants: Sequence[Variant],
    asked: Any,
    tilts: Sequence[float],
    processes: int,
) -> list[Any]:
    """Rows of the table at each of several attitudes [deg], all dropped together."""
    count, pressure = len(tilts), np.array([one.tire_pressure for one in variants])
    found = drops(
        gear,
        mass=np.tile(asked["mass"] / 2, count),
        speed=np.tile(asked["speed"], count),
        lift_ratio=np.tile(asked["lift_ratio"], count),
        ground_speed=np.tile(asked["ground_speed"], count),
        shocks=shocks_of(gear, list(variants) * count),
        attitude_deg=np.repeat(tilts, len(asked)),
        flexibility=flexibility,
        tire_factor=np.tile(tire_factor(gear.tire, pressure), count),
        tread_factor=np.tile(tread_factor(gear.tire, pressure), count),
        duration=1.0,
        rtol=RTOL[flexibility is not None],
        processes=processes,
        balance=True,
    )
    columns = {name: values.reshape(count, -1) for name, values in _columns(found).items()}
    return [asked.assign(**{name: values[i] for name, values in columns.items()}) for i in range(count)]


def _columns(found: Drops) -> dict[str, Array]:
    """Results of drops by the columns of the table."""
    out: dict[str, Any] = {
        "load_factor": found.load_factor,
        "peak_vertical": found.peak_ground_force,
        "time_to_peak": found.time_to_peak,
        "peak_shock_force": found.peak_shock_force,
        "peak_tire_deflection": found.peak_tire_deflection,
        "stroke": found.max_stroke_used,
        "bottomed": found.bottomed,
        "energy_left": found.energy_left,
        "energy_error": found.energy_error,
    }
    for name in ("spin_up", "spring_back"):
        instant = getattr(found, name)
        out |= {
            f"{name}_drag": instant.axle_drag,
            f"{name}_ground_drag": instant.ground_drag,
            f"{name}_vertical": instant.vertical,
            f"{name}_stroke": instant.stroke,
        }
    return out


def _mark(table: Any) -> None:
    """Write into the column governs what each row governs."""
    limit, moving = table["kind"] == "limit", table["ground_speed"] > 0
    for condition in CONDITIONS:
        for mass in table["mass"].unique():
            here = (table["condition"] == condition) & (table["mass"] == mass)
            marks = {"n": _governing(table[here & limit], condition).name}
            if condition == "nose clear":
                some = table[here & limit & moving]
                marks["spin-up"] = some["spin_up_drag"].idxmax()
                marks["spring-back"] = some["spring_back_drag"].idxmin()
            if condition != "three-point":
                marks["reserve n"] = table.loc[here & ~limit, "load_factor"].idxmax()
            for what, row in marks.items():
                before = table.loc[row, "governs"]
                table.loc[row, "governs"] = f"{before}, {what}" if before else what


def _notes(
    table: Any,
    variants: Sequence[Variant],
    combined: Sequence[Variant],
    factors: str,
    drop_instants: bool,
    nose_clear: float | None,
    lift_ratio: float,
    flexibility: Flexibility | None,
) -> list[str]:
    """What was chosen, assumed, switched off and found."""
    notes = [
        f"load factor: {factors}, the user's choice (23.473(d), 23.725(c))",
        "tail-down: no drag, n from the drop without ground speed (23.481(b))",
        "Appendix D: rise time t_s of the nominal unit, level, landing mass, with ground speed",
        "strut: flexible in the drop" if flexibility is not None
        else "strut: RIGID in the drop, no flexibility was given; spin-up drag is then too low, spring-back left out",
        "nose clear: attitude of the three-point landing, which 23.479(a)(2) allows" if nose_clear is None
        else f"nose clear: its own attitude of {nose_clear:g} deg",
        f"variants: {len(variants)} alone, {len(combined)} corners" if variants
        else "variants: SWITCHED OFF, nominal unit only",
    ]  # fmt: skip
    if variants and not combined:
        notes.append("corners of orifice, charge and gas temperature: SWITCHED OFF, or no two of these vary")
    if not drop_instants:
        notes.append("spin-up and spring-back of the drop: SWITCHED OFF, Appendix D alone")
    sources: dict[str, list[str]] = {}
    for one in variants:
        sources.setdefault(str(one.source), []).append(one.name)
    notes += [f"source of {', '.join(names)}: {source}" for source, names in sources.items()]
    limit = table[table["kind"] == "limit"]
    for (condition, mass), rows in limit.groupby(["condition", "mass"], sort=False):
        n = float(_governing(rows, condition)["load_factor"])
        if (needed := required_load_factor(n, lift_ratio)) > n:
            notes.append(f"{condition}, {mass:g} kg: n raised from {n:.3f} to {needed:.3f} (23.473(g))")
    for kind, rows in table[table["bottomed"]].groupby("kind", sort=False):
        worst = rows.loc[rows["energy_left"].idxmax()]
        notes.append(
            f"BOTTOMS in {len(rows)} {kind} drops; worst: {_named(worst)}: {worst['energy_left']:.4g} J left"
        )
    if (cold := table.loc[table["standing"].isna(), "variant"].unique()).size:
        notes.append(f"CANNOT CARRY the standing airplane within the stroke: {', '.join(cold)}")
    return notes
