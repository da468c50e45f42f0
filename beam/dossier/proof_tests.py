"""The building block of tests: coupons, elements, the static test of the strut, and the way back to prediction.

Numbers of ASTM standards and of samples are from memory; local rules and the authority decide what is tested.
"""

from collections.abc import Iterable, Sequence
from typing import Annotated, Any, Literal

import numpy as np
import pandas as pd

from beam.dossier.tables import lowest
from beam.strength.damage import CARRIES, Damage
from beam.strength.requirement import Requirement
from beam.strut import PointLoads, Strut
from materials import Lamina
from materials.allowables import ALLOWABLES
from materials.checks import Array, Frozen, Items, Limits, Numbers, Table, checked, reject
from materials.statistics.sampling import SAMPLES

COUPONS = (
    ("tension along the fibers", "ASTM D3039, 0 deg", ("Xt", "e1t", "E1", "nu12")),
    ("compression along the fibers", "ASTM D6641, 0 deg", ("Xc", "e1c")),
    ("tension across the fibers", "ASTM D3039, 90 deg", ("Yt", "e2t", "E2")),
    ("compression across the fibers", "ASTM D6641, 90 deg", ("Yc", "e2c")),
    ("shear in the plane, with the 0.2 % offset", "ASTM D3518", ("S", "S02", "g12", "G12")),
    ("tension through the thickness", "ASTM D6415, curved beam", ("Zt",)),
    ("fracture toughness, opening", "ASTM D5528", ("GIc",)),
    ("fracture toughness, sliding", "ASTM D7905", ("GIIc",)),
    ("wet glass transition", "ASTM D7028", ("wet_glass_transition",)),
    ("moisture uptake to balance", "ASTM D5229", ("moisture",)),
)
"""Property, standard, and the fields that the test gives."""

ELEMENTS = (
    ("open hole, tension", "ASTM D5766", "fiber strain", "laminates of the walls, largest hole"),
    ("open hole, compression", "ASTM D6484", "fiber strain", "laminates of the walls, largest hole, hot wet"),
    ("compression after impact", "ASTM D7136, D7137", "fiber strain", "barely visible damage, hot wet"),
    ("bolt bearing and bypass", "ASTM D5961, D7248", "bearing", "bolt rows of the fittings, hot wet"),
    (
        "corner opening",
        "ASTM D6415, curved beam",
        "corner opening",
        "lay-up and radius of the lowest corner, hot wet",
    ),
    (
        "ply drop, tension and compression",
        "no standard; own specimen",
        "fiber strain",
        "steepest drop of the book",
    ),
    ("wall between corners, compression and shear", "no standard; own specimen", "buckling", "thinnest wall"),
    (
        "bonded joint, shear and peel",
        "ASTM D5656, D3165",
        "bond",
        "bond line of the fittings, cold and hot wet",
    ),
    (
        "lug of a fitting",
        "no standard; own specimen",
        "lug",
        "metal of the fitting, angle of the governing case",
    ),
)
"""Test, standard, the mode that it serves, and the specimen."""

STEPS = (0.2, 0.4, 0.6, 0.8, 0.9, 1.0)
"""Shares of the limit load, and then of the way from limit to ultimate load, at which the test stops to be read."""

HOLD = 3.0
"""Time at ultimate load that 14 CFR 23.305(b) asks for [s]."""

DIRECTIONS = ("F1 [N]", "F2 [N]", "F3 [N]", "M1 [N m]", "M2 [N m]", "M3 [N m]")
STRAINS = ("along the span", "around the section", "shear")
ROOM = (285.0, 305.0)


@checked
def coupon_plan(
    requirement: Requirement,
    laminae: Iterable[Lamina],
    *,
    basis: Literal["A", "B"] = "A",
    sample: Literal["reduced", "robust"] = "reduced",
) -> Table:
    """List the coupon tests that the allowables of a requirement ask for.

    Parameters
    ----------
    requirement : Requirement
        Its services are the environments.
    laminae : sequence of Lamina
        Materials of the strut.
    basis : {"A", "B"}
        A for a single load path (14 CFR 23.613).
    sample : {"reduced", "robust"}
        Size of the sample.

    Returns
    -------
    DataFrame
        One row for each lamina, property and environment: standard, what it gives, batches, specimens, and what the
        value in use is today ("none" where it is missing).

    Notes
    -----
    B: 18 coupons in 3 batches or 30 in 5; A: 55 in 5 or 75 in 10, two panels a batch (CMH-17-1G 8.2, from memory).
    Room temperature is added where no service is at it.

    Examples
    --------
    >>> from small_tube import LATTICE, REQUIREMENT  # examples/small_tube.py
    >>> plan = coupon_plan(REQUIREMENT, [kind.lamina for kind in LATTICE.kinds], basis="B")
    >>> plan["specimens"].unique().tolist()
    [18, 6]
    """
    specimens, batches = next((n, b) for name, n, b in SAMPLES[basis] if name == sample)
    places = [(one.name, one.temperature, one.moisture) for one in requirement.services]
    if not any(ROOM[0] <= temperature <= ROOM[1] and not moisture for _, temperature, moisture in places):
        places.insert(0, ("room temperature, dry", 295.0, 0.0))
    rows = []
    for lamina in dict.fromkeys(laminae):
        for what, standard, gives in COUPONS:
            strength = any(name in ALLOWABLES for name in gives)
            once = gives[0] in ("wet_glass_transition", "moisture")
            for place, temperature, moisture in places[:1] if once else places:
                rows.append(
                    {
                        "lamina": lamina.name,
                        "property": what,
                        "standard": standard,
                        "gives": " ".join(gives),
                        "environment": "as received and wet" if once else place,
                        "temperature [K]": np.nan if once else temperature,
                        "moisture [-]": np.nan if once else moisture,
                        "batches": batches if strength else min(batches, 3),
                        "specimens": specimens if strength else 6,
                        "in use today": _standing(lamina, gives[0]),
                    }
                )
    return pd.DataFrame(rows)


def _standing(lamina: Lamina, name: str) -> str:
    """What the value in use rests on."""
    if name == "moisture":
        return "nominal" if lamina.allowables is not None else "none"
    held = lamina.allowables if name in ALLOWABLES else lamina
    if held is None or getattr(held, name) is None:
        return "none"
    if name not in ALLOWABLES or lamina.allowables is None:
        return str(lamina.source)
    said = dict(lamina.allowables.sources)
    return f"{lamina.allowables.basis}; {said.get(name, lamina.allowables.source)}"


@checked
def element_plan(margins: Table) -> Table:
    """List the element tests, with the margin that each stands behind.

    Parameters
    ----------
    margins : DataFrame
        From `beam.margins`, with the rows of joints where there are any.

    Returns
    -------
    DataFrame
        Test, standard, specimen, and the lowest deciding margin of the mode that it serves with its case, wall,
        station and service; "not judged" where the table has no such row.

    Examples
    --------
    >>> import beam
    >>> from small_tube import LATTICE, PULL, REQUIREMENT  # examples/small_tube.py
    >>> plan = element_plan(beam.lightest(LATTICE, PULL, REQUIREMENT).margins)
    >>> plan["test"].iloc[-1], len(plan)
    ('lug of a fitting', 9)
    """
    worst = lowest(margins, None, by="mode", decides=None)
    rows = []
    for test, standard, mode, specimen in ELEMENTS:
        found = worst[worst["mode"].astype(str).str.contains(mode, regex=False)].head(1)
        row = {"test": test, "standard": standard, "specimen": specimen, "serves": mode}
        for name in ("margin", "case", "wall", "station", "service"):
            row[name] = found[name].iloc[0] if len(found) else ("not judged" if name == "margin" else "")
        rows.append(row)
    return pd.DataFrame(rows, dtype=object)


class Gauge(Frozen, eq=True):
    """A strain gauge rosette on the outer surface of a wall.

    Parameters
    ----------
    station : float
        Along the axis from the root [m].
    wall : str
        Name of the wall.
    place : float
        Fraction of the wall's width from where the way around enters it [-].

    Examples
    --------
    >>> Gauge(station=0.1, wall="aft").title
    'aft at 100 mm'
    """

    station: Annotated[float, Limits("m", at_least=0.0, below=10.0, cause="given in mm?")]
    wall: str
    place: Annotated[float, Limits("-", at_least=0.0, at_most=1.0)] = 0.5

    @property
    def title(self) -> str:
        """Name in tables."""
        return f"{self.wall} at {self.station * 1e3:.0f} mm" + (
            "" if self.place == 0.5 else f", place {self.place:g}"
        )


class StaticTest(Frozen):
    """Plan of the static test of the strut, as `plan_static_test` makes it.

    Parameters
    ----------
    cases : sequence of str
        Load cases, the one of the lowest margin first.
    at : array_like, shape (load,)
        Stations where loads enter [m].
    limit : array_like, shape (case, load, 6)
        Forces and moments at limit load, strut axes, overload included [N, N m].
    ultimate_factor : array_like, shape (case,)
        Ultimate over limit load of the test [-].
    overload : float
        Factor on all loads for what the room-temperature article does not see [-].
    overload_basis : str
        Where it comes from.
    gauges : sequence of Gauge
        The strain gauges.
    strain : array_like, shape (case, gauge, 3)
        Predicted strain at limit load of the test: along the span, around the section, shear [-].
    reactions : array_like, shape (case, direction)
        Forces and moments of the supports at limit load of the test [N, N m].
    supports : sequence of str
        Names of the supported directions.
    tip : array_like, shape (case, 6)
        Predicted motion of the tip at limit load of the test [m, rad].
    stop : float
        Difference of a reading from its prediction, over the largest prediction, at which the test stops [-].

    Examples
    --------
    See `plan_static_test`.
    """

    cases: Items[str]
    at: Annotated[Numbers, Limits("m", shape=(-1,))]
    limit: Annotated[Numbers, Limits("N, N m", shape=(-1, -1, 6))]
    ultimate_factor: Annotated[Numbers, Limits("-", shape=(-1,), at_least=1.0)]
    overload: Annotated[float, Limits("-", at_least=1.0)]
    overload_basis: str
    gauges: Items[Gauge]
    strain: Annotated[Numbers, Limits("-", shape=(-1, -1, 3))]
    reactions: Annotated[Numbers, Limits("N, N m", shape=(-1, -1))]
    supports: Items[str]
    tip: Annotated[Numbers, Limits("m, rad", shape=(-1, 6))]
    stop: Annotated[float, Limits("-", above=0.0, at_most=0.5)]

    def loads(self) -> Table:
        """Return the jack loads of every case at limit and ultimate load.

        Returns
        -------
        DataFrame
            One row for each case, level and station, strut axes.
        """
        rows = []
        for case, limit, factor in zip(self.cases, self.limit, self.ultimate_factor, strict=True):
            for level, times in (("limit", 1.0), ("ultimate", factor)):
                for station, load in zip(self.at, limit, strict=True):
                    row = {"case": case, "level": level, "station [m]": station}
                    rows.append(row | dict(zip(DIRECTIONS, (load * times).tolist(), strict=True)))
        return pd.DataFrame(rows)

    def sequence(self) -> Table:
        """Return the steps of the test, case by case.

        Returns
        -------
        DataFrame
            Share of limit load, what to do, and what to watch.
        """
        rows = []
        for case in self.cases:
            for share in STEPS:
                what = "read all gauges and the tip"
                if share == 1.0:
                    what += "; unload: no permanent strain, no detrimental deformation (23.305(a))"
                rows.append({"case": case, "load / limit": share, "do": what})
        for case, factor in zip(self.cases[::-1], self.ultimate_factor.tolist()[::-1], strict=True):
            for share in 1.0 + (factor - 1.0) * np.array(STEPS):
                what = "read all gauges and the tip"
                if share == factor:
                    what = f"hold {HOLD:g} s without failure (23.305(b)), read, unload, inspect by ultrasound"
                rows.append({"case": case, "load / limit": round(float(share), 4), "do": what})
        table = pd.DataFrame(rows)
        table["stop if"] = (
            f"a reading differs from its line by {self.stop:.0%} of the largest, a jump, a sound"
        )
        return table

    def readings(self) -> Table:
        """Return the predicted readings of the gauges and of the tip at every step of every case.

        Returns
        -------
        DataFrame
            One row for each case, step and channel: predicted reading, and the limits at which the test stops.
        """
        rows = []
        for i, (case, factor) in enumerate(zip(self.cases, self.ultimate_factor.tolist(), strict=True)):
            channels = {
                f"{gauge.title}, {name}": (self.strain[i, j, k], np.abs(self.strain[i]).max(), "-")
                for j, gauge in enumerate(self.gauges)
                for k, name in enumerate(STRAINS)
            }
            for k, name in enumerate(("along e1", "along e2", "along e3")):
                channels[f"tip {name}"] = (self.tip[i, k], np.abs(self.tip[i, :3]).max(), "m")
            for share in sorted({*STEPS, *(1.0 + (factor - 1.0) * np.array(STEPS)).round(4).tolist()}):
                for channel, (value, largest, unit) in channels.items():
                    rows.append(
                        {
                            "case": case,
                            "load / limit": share,
                            "channel": channel,
                            "unit": unit,
                            "predicted": value * share,
                            "stop below": value * share - self.stop * largest * share,
                            "stop above": value * share + self.stop * largest * share,
                        }
                    )
        return pd.DataFrame(rows)


@checked
def plan_static_test(
    strut: Strut,
    loads: PointLoads,
    requirement: Requirement,
    margins: Table,
    *,
    cases: Iterable[Any],
    overload: Annotated[float, Limits("-", at_least=1.0, at_most=3.0)],
    overload_basis: str,
    count: Annotated[int, Limits("-", at_least=1)] = 3,
    gauges: Iterable[Gauge] | None = None,
    stop: Annotated[float, Limits("-", above=0.0, at_most=0.5, cause="given in percent?")] = 0.10,
) -> StaticTest:
    """Plan the static test of the strut, at room temperature and dry, in the cases of the lowest margins.

    Parameters
    ----------
    strut : Strut
        The strut with the stiffness of room temperature.
    loads : PointLoads
        Limit loads.
    requirement : Requirement
        Factors on load.
    margins : DataFrame
        From `beam.margins`, with the labels of `cases`.
    cases : sequence of str, length case
        Labels of the load cases.
    overload : float
        Environmental overload factor: hottest, wettest strength over that of the article; 1 if it is conditioned [-].
    overload_basis : str
        Where it comes from: printed (AC 20-107B, 14 CFR 23.307).
    count : int
        How many cases to test [-].
    gauges : sequence of Gauge, optional
        Where; by default in the middle of every flat wall at the station of the lowest margin of each case, and at
        the root.
    stop : float
        Difference from the prediction, over the largest predicted reading, at which to stop [-].

    Returns
    -------
    StaticTest
        Loads, sequence, predicted readings.

    Raises
    ------
    ValueError
        If the labels are not those of the margins.

    Notes
    -----
    Loads of the test are limit load x overload, and x factor of safety x special factor at ultimate. Strains are those
    of load alone: gauges are set to zero before the first step, so the residual stress of the cure is not in them.

    Examples
    --------
    >>> import beam
    >>> from small_tube import LATTICE, PULL, REQUIREMENT  # examples/small_tube.py
    >>> sizing = beam.lightest(LATTICE, PULL, REQUIREMENT, cases=["pull"])
    >>> test = plan_static_test(sizing.strut, PULL, REQUIREMENT, sizing.margins, cases=["pull"], overload=1.15,
    ...                         overload_basis="invented", count=1)
    >>> round(float(test.limit[0, 0, 0] / PULL.force[0, 0, 0]), 3)
    1.15
    """
    labels = list(cases)
    if len(labels) != len(loads.force):
        reject("plan_static_test: cases", f"{len(labels)} labels", f"{len(loads.force)}, one for each case")
    worst = lowest(margins, None, by="case")
    strange = sorted({str(one) for one in worst["case"]} - {str(one) for one in labels})
    if strange:
        reject("plan_static_test: cases", f"no {strange[0]!r}", "the labels of the margins")
    order = [[str(one) for one in labels].index(str(case)) for case in worst["case"]]
    chosen = [i for i in order if not loads.at_ultimate[i]][
        :count
    ]  # a case at ultimate load has no limit load
    worst = worst[[i in chosen for i in order]]
    some = loads.take(chosen).times(overload)
    if gauges is None:
        # a gauge beside a load or an end reads the disturbance: half a width inboard or outboard of it
        offset = float(strut.mold_line.at(0.0).width) / 2
        length = strut.mold_line.length
        at = np.clip(np.append(worst["station"].to_numpy(dtype=float), 0.0), offset, length - offset)
        gauges = [
            Gauge(station=s, wall=w)
            for s in np.unique(at.round(3)).tolist()
            for w in strut.mold_line.flat_walls
        ]
    places = tuple(gauges)
    safety = (
        requirement.factor_of_safety
        if loads.factor_of_safety is None
        else np.asarray(loads.factor_of_safety)[chosen]
    )
    limit = np.broadcast_to(np.concatenate([some.force, some.moment], axis=-1), (*some.force.shape[:2], 6))
    return StaticTest(
        cases=[str(labels[i]) for i in chosen],
        at=some.at,
        limit=limit,
        ultimate_factor=np.broadcast_to(safety * requirement.special_factor, len(chosen)),
        overload=overload,
        overload_basis=overload_basis,
        gauges=places,
        strain=_gauge_strain(strut, some, places),
        reactions=strut.span.reactions(some),
        supports=strut.span.held.names,
        tip=strut.span.displacement(some, at=[strut.mold_line.length])[:, 0],
        stop=stop,
    )


def _gauge_strain(strut: Strut, loads: PointLoads, gauges: Sequence[Gauge]) -> Array:
    """Strain of load alone on the outer surface at gauges, (case, gauge, 3) [-]."""
    names = strut.mold_line.wall_names
    out = np.empty((len(loads.force), len(gauges), 3))
    for i, gauge in enumerate(gauges):
        if gauge.wall not in names:
            reject("Gauge: wall", repr(gauge.wall), f"one of {', '.join(names)}")
        forces = strut.span.forces(loads, at=[gauge.station])[:, 0]
        running = strut.section(gauge.station).wall_loads(forces, [gauge.place])[
            :, names.index(gauge.wall), 0
        ]
        laminate = strut.ply_book.laminate(gauge.wall, gauge.station)
        deformation = laminate.response(N=running[:, :3], M=running[:, 3:]).load_deformation
        out[:, i] = deformation[:, :3] + laminate.thickness / 2 * deformation[:, 3:]
    return out


@checked
def compare_gauges(test: StaticTest, measured: Table) -> Table:
    """Set measured readings of the static test against their predictions.

    Parameters
    ----------
    test : StaticTest
        The plan.
    measured : DataFrame
        Columns case, "load / limit", channel as in `StaticTest.readings`, and measured.

    Returns
    -------
    DataFrame
        The rows measured, with predicted, error (measured - predicted) and error over the largest prediction of the
        case and unit at that load; "stop" says where the test had to stop.

    Raises
    ------
    ValueError
        If a column is missing, or a reading belongs to no channel or step of the plan.

    Examples
    --------
    >>> import beam
    >>> from small_tube import LATTICE, PULL, REQUIREMENT  # examples/small_tube.py
    >>> sizing = beam.lightest(LATTICE, PULL, REQUIREMENT, cases=["pull"])
    >>> test = plan_static_test(sizing.strut, PULL, REQUIREMENT, sizing.margins, cases=["pull"], overload=1.15,
    ...                         overload_basis="invented", count=1)
    >>> read = test.readings().rename(columns={"predicted": "measured"})
    >>> float(abs(compare_gauges(test, read)["error"]).max())
    0.0
    """
    keys = ["case", "load / limit", "channel"]
    if missing := [name for name in (*keys, "measured") if name not in measured]:
        reject("compare_gauges: measured", f"no {', '.join(missing)}", "the columns of StaticTest.readings")
    planned = test.readings()
    table = measured[[*keys, "measured"]].merge(planned, on=keys, how="left")
    if (lost := table["predicted"].isna()).any():
        row = table[lost].iloc[0]
        cause = "misspelt, or a step that was not planned?"
        reject(
            "compare_gauges: measured",
            f"{row['channel']!r} at {row['load / limit']:g}",
            "a planned reading",
            cause,
        )
    largest = planned.groupby(["case", "load / limit", "unit"])["predicted"].agg(lambda v: v.abs().max())
    scale = [largest[tuple(key)] for key in table[["case", "load / limit", "unit"]].itertuples(index=False)]
    error = table["measured"] - table["predicted"]
    outside = (table["measured"] < table["stop below"]) | (table["measured"] > table["stop above"])
    return table.assign(error=error, **{"error / largest": error / scale, "stop": outside})


SERVICE_ITEMS = (
    ("shock", "gas pressure, leaks, stroke at rest", "changed without the strut"),
    ("bushings of pivot and trunnion", "play at the axle by hand; wear limits", "changed without the strut"),
    ("brake and wheel", "heat marks on the strut's tip, thermal fuse", "changed without the strut"),
    ("ends of bonds", "tap test and ultrasound, peel at the edges", "repair by the maker only"),
    ("bolts of the fittings", "torque marks, corrosion against carbon", "changed without the strut"),
    ("outer plies", "impact, scratches across fibers, lost paint", "by the damage categories"),
    ("mold line near bracket and pivot", "whitening, cracks of the wrap", "by the damage categories"),
)  # fmt: skip
"""What is looked at in service: item, what to look for, what follows. Common practice, no source."""


@checked
def inspection_plan(
    damages: Annotated[Iterable[Damage], Limits(items=0)] = (), *, interval: str = "agree with the authority"
) -> Table:
    """List what is inspected in service, and what each category of damage allows.

    Parameters
    ----------
    damages : sequence of Damage
        Categories with their caps.
    interval : str
        Interval of the scheduled inspection.

    Returns
    -------
    DataFrame
        Item, what to look for, interval, what follows.

    Examples
    --------
    >>> from beam.strength import GUIDANCE
    >>> inspection_plan([Damage(category=1, caps=GUIDANCE, standing="guidance")])["item"].iloc[-1]
    'damage category 1'
    """
    rows = [
        {"item": item, "look for": look, "interval": interval, "then": then}
        for item, look, then in SERVICE_ITEMS
    ]
    for damage in damages:
        level, said = CARRIES[damage.category]
        rows.append(
            {
                "item": f"damage category {damage.category}",
                "look for": damage.caps.name,
                "interval": said,
                "then": f"carries {level} load within {damage.caps.note}; {damage.standing}",
            }
        )
    return pd.DataFrame(rows)
