"""Published materials, one row each of a data file, as objects and as tables.

A blank cell is a value the source does not give. Blank failure strains become strength / modulus, and the
source note of the allowables says so. Blank moisture expansions in the plane become zero: the thermal residual
tension across the fibers keeps its full size, where swelling would relieve it. What stands for blank cells
through the thickness is in `materials.through_thickness`.
"""

import csv
from dataclasses import replace
from difflib import get_close_matches
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from materials.allowables import ALLOWABLES, Allowables
from materials.checks import checked, reject
from materials.environment import Between, Condition, ConditionedLamina
from materials.lamina import PROPERTIES, Lamina
from materials.metal import PROPERTIES as METAL_PROPERTIES
from materials.metal import Metal
from materials.source import Source, Standing

if TYPE_CHECKING:
    import pandas as pd

FORMER_NAMES = {"T700S/2510": "T700G/2510"}
"""Names that stood for a lamina before: the report of this tape is of T700G fiber."""

UNITS = {"ksi": 6.894757e6, "msi": 6.894757e9, "J/m2": 1.0, "-": 1.0}
CONDITIONS = (
    ("cold dry", 219.15, 0.0, "-54 degC, dry"),
    ("room dry", 294.15, 0.0, "21 degC, dry"),
    ("hot dry", 394.15, 0.0, "121 degC, dry"),
    ("hot wet", 394.15, 0.010, "121 degC, wet"),
)
"""Column, temperature [K], moisture [-] of the tests: -65, 70, 250 degF to whole degC; the moisture is nominal."""

STRENGTHS_AND_MODULI = {"Xt", "Xc", "Yt", "Yc", "S", "E1", "E2", "G12"}


@checked
def lamina(name: str) -> Lamina:
    """Build a published lamina.

    Parameters
    ----------
    name : str
        As in the index of `catalog`.

    Returns
    -------
    Lamina
        With its allowables, strains among them, and its source.

    Raises
    ------
    ValueError
        If there is no such name; the message lists the near ones.

    Examples
    --------
    >>> ply = lamina("AS4/3501-6")
    >>> ply.E1, ply.allowables.Xt
    (126000000000.0, 1950000000.0)
    >>> print(ply.allowables.source_of("Xt"))  # doctest: +ELLIPSIS
    Soden, Hinton & Kaddour, Compos. Sci. Technol. 58 (1998) 1011-1022, Table 1; ... (read; three transcriptions)
    """
    name = FORMER_NAMES.get(name, name)
    row = _row("laminae", name)
    elastic = _numbers(row, PROPERTIES)
    sources = _value_sources(row)
    stated = Allowables(
        **_numbers(row, ALLOWABLES),
        basis=row["basis"],  # type: ignore[arg-type]  # text of the table, checked by Allowables
        condition=row["condition"],
        source=_source(row),
        sources=[(one, source) for one, source in sources if one in ALLOWABLES],
    )
    allowables = stated.with_linear_strains(E1=elastic["E1"], E2=elastic["E2"], G12=elastic["G12"])
    kind: Any = row["kind"]
    of_ply = [(one, source) for one, source in sources if one in PROPERTIES]
    return Lamina(name=name, kind=kind, **elastic, allowables=allowables, source=_source(row), sources=of_ply)


@checked
def conditioned(name: str, *, between: Between = "tests") -> ConditionedLamina:
    """Build a published lamina with its tests in the cold, at room temperature, hot and hot wet.

    Parameters
    ----------
    name : str
        ``"IM7/8552 tape 190 g/m2"`` or ``"AS4/8552 plain weave 193 g/m2"``.
    between : {"tests", "hottest wet", "room-dry line"}
        What stands for a property where the tests do not surround the service, as in `ConditionedLamina`.

    Returns
    -------
    ConditionedLamina
        Cold dry (-54 degC), room dry (21 degC), hot dry (121 degC) and hot wet (121 degC). Every value has its source
        and standing, and `Lamina.placeholders` names those that only fill a gap of the tests.

    Raises
    ------
    ValueError
        If there is no such name.

    Notes
    -----
    Hot dry, only compression was tested; of the rest this test says nothing. The moisture of the hot wet test, 1 %, is
    nominal and was not read: take `ConditionedLamina.wet_moisture` for a wet service.

    Examples
    --------
    >>> tape = conditioned("IM7/8552 tape 190 g/m2", between="room-dry line")
    >>> hot = tape.at(temperature=344.15, moisture=tape.wet_moisture)
    >>> round(hot.allowables.Xc / 1e6, 1), round(hot.allowables.S02 / 1e6, 1), round(hot.E2 / 1e9, 2)
    (1454.6, 38.2, 7.27)
    """
    tables = _conditioned()
    base = lamina(name)
    if base.name not in tables:
        cause = "others were tested at one condition only"
        reject("conditioned: name", repr(name), f"one of: {', '.join(tables)}", cause)
    tests = [_condition(base, tables[base.name], *condition) for condition in CONDITIONS]
    return ConditionedLamina(
        name=base.name,
        conditions=tests,
        wet_glass_transition=base.wet_glass_transition,
        between=between,
    )


def _condition(
    base: Lamina, table: list[dict[str, str]], label: str, temperature: float, moisture: float, said: str
) -> Condition:
    """One tested condition of a published lamina; what was not tested there is named by `only`."""

    def values(column: str) -> dict[str, float]:
        return {row["value"]: float(row[column]) * UNITS[row["unit"]] for row in table if row[column]}

    known = values(label)
    listed = {row["value"] for row in table}
    sources = dict(base.sources) | dict(base.allowables.sources if base.allowables else ())
    for row in table:
        if row["value"] in known:
            note = "; ".join(part for part in (row["note"], f"printed in {row['unit']}") if part)
            of = sources.get(row["value"], base.source)
            sources[row["value"]] = Source(of.document, of.place, note, _standing(row))
    whole = set(known) >= STRENGTHS_AND_MODULI
    filled = known if whole else values("hot wet") | known  # what fills is never used: `only` leaves it out
    limits: dict[str, Any] = {name: value for name, value in filled.items() if name in ALLOWABLES}
    properties: dict[str, Any] = {name: filled.get(name) for name in listed & set(PROPERTIES)}
    ply = replace(base, **properties, sources=[item for item in sources.items() if item[0] in PROPERTIES])
    stated = Allowables(
        **limits,
        basis="mean",
        condition=said,
        source=base.source,
        sources=[item for item in sources.items() if limits.get(item[0]) is not None],
    )
    allowables = stated.with_linear_strains(E1=ply.E1, E2=ply.E2, G12=ply.G12)
    only: Any = () if whole else tuple(known)
    return Condition(
        name=label,
        temperature=temperature,
        moisture=moisture,
        lamina=replace(ply, allowables=allowables),
        only=only,
    )


@checked
def metal(name: str) -> Metal:
    """Build a metal of a handbook.

    Parameters
    ----------
    name : str
        As in the index of `metals`.

    Returns
    -------
    Metal
        With its source; a strength that the catalog does not give is None.

    Raises
    ------
    ValueError
        If there is no such name; the message lists the near ones.

    Examples
    --------
    >>> metal("4130 N tube").Fcy / 1e6
    517.107
    """
    row = _row("metals", name)
    return Metal(
        name=name,
        **_numbers(row, METAL_PROPERTIES),
        basis=row["basis"],  # type: ignore[arg-type]  # text of the table, checked by Metal
        source=_source(row),
        sources=_value_sources(row),
    )


def catalog() -> "pd.DataFrame":
    """List the published laminae.

    Returns
    -------
    DataFrame
        One row per lamina, indexed by name: kind, fiber, matrix, process, the properties in SI base units
        (Pa, m, kg/m3, 1/K, K; strains and ratios as plain numbers), origin of the strains, basis, condition,
        document, place, standing and note. A value that the source does not give is NaN. `Lamina.source_of` tells the
        standing of a single value.

    Examples
    --------
    >>> catalog().loc["AS4/3501-6", ["fiber", "basis", "standing"]].tolist()
    ['AS4 carbon', 'typical', 'memory']
    """
    return _frame("laminae", PROPERTIES + ALLOWABLES)


def metals() -> "pd.DataFrame":
    """List the metals for pins, links, bushings and inserts.

    Returns
    -------
    DataFrame
        One row per metal, indexed by name: form, properties in SI base units (Pa, kg/m3, 1/K), basis,
        document, place, standing and note. A strength that the catalog does not give is NaN.

    Examples
    --------
    >>> metals().loc["2024-T3 sheet", "basis"]
    'A'
    """
    return _frame("metals", METAL_PROPERTIES)


@cache
def _rows(table: str) -> dict[str, dict[str, str]]:
    """Cells of each row of a data file by column, the rows by name."""
    return {row["name"]: row for row in _table(table)}


@cache
def _table(table: str) -> list[dict[str, str]]:
    """Rows of a data file, each as cells by column."""
    with (Path(__file__).with_name("data") / f"{table}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def _row(table: str, name: str) -> dict[str, str]:
    """One row of a data file; an unknown name is refused with the near ones."""
    known = _rows(table)
    if name not in known:
        lowered = {one.lower(): one for one in known}
        wanted = name.lower()
        near = [one for one in known if wanted in one.lower()]
        near += [lowered[hit] for hit in get_close_matches(wanted, lowered, n=5, cutoff=0.4)]
        listed = ", ".join(dict.fromkeys(near)) or ", ".join(known)
        reject(f"catalog of {table}: name", repr(name), f"one of: {listed}")
    return known[name]


def _numbers(row: dict[str, str], names: tuple[str, ...]) -> dict[str, Any]:
    return {name: float(row[name]) for name in names if row[name]}


def _value_sources(row: dict[str, str]) -> list[tuple[str, Source]]:
    """Sources of the values of a row whose standing or document is not that of the row."""
    out: dict[str, Source] = {}
    for one in _table("value_sources"):
        if one["name"] != row["name"]:
            continue
        document, place = (
            one["document"] or row["document"],
            one["place"] if one["document"] else row["place"],
        )
        out |= dict.fromkeys(one["values"].split(), Source(document, place, one["note"], _standing(one)))
    return list(out.items())


@cache
def _conditioned() -> dict[str, list[dict[str, str]]]:
    """Rows of the tests at several conditions, by lamina."""
    rows = _table("conditioned")
    return {
        name: [row for row in rows if row["name"] == name] for name in dict.fromkeys(r["name"] for r in rows)
    }


def _source(row: dict[str, str]) -> Source:
    return Source(row["document"], row["place"], row["note"], _standing(row))


def _standing(row: dict[str, str]) -> Standing:
    return row["standing"]  # type: ignore[return-value]  # text of the table, checked by Source


def _frame(table: str, numeric: tuple[str, ...]) -> "pd.DataFrame":
    import pandas as pd

    frame = pd.DataFrame(list(_rows(table).values())).set_index("name")
    columns = list(numeric)
    frame[columns] = frame[columns].replace("", "nan").astype(float)
    return frame
