"""Published materials: a table to look through, and the object of a row.

A blank cell is a value the source does not give. Blank failure strains become strength / modulus, and the
source note of the allowables says so; blank moisture expansions become zero, which keeps the thermal
residual stress at its full size, since swelling relieves it.
"""

import csv
from difflib import get_close_matches
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

from materials.allowables import Allowables
from materials.checks import reject
from materials.knockdown import STRAINS, STRENGTHS
from materials.lamina import LIMITS, Lamina
from materials.metal import LIMITS as METAL_LIMITS
from materials.metal import Metal
from materials.source import Source

if TYPE_CHECKING:
    import pandas as pd

PROPERTIES = tuple(name for name, *_ in LIMITS)
METAL_PROPERTIES = tuple(name for name, *_ in METAL_LIMITS)


@cache
def _rows(table: str) -> dict[str, dict[str, str]]:
    with (Path(__file__).with_name("data") / f"{table}.csv").open(encoding="utf-8", newline="") as file:
        return {row["name"]: row for row in csv.DictReader(file)}


def _row(table: str, name: str) -> dict[str, str]:
    rows = _rows(table)
    if not isinstance(name, str) or name not in rows:
        _unknown(table, name, tuple(rows))
    return rows[name]


def _unknown(table: str, name: object, known: tuple[str, ...]) -> NoReturn:
    lowered = {one.lower(): one for one in known}
    wanted = str(name).lower()
    near = [one for one in known if wanted and wanted in one.lower()]
    near += [lowered[hit] for hit in get_close_matches(wanted, lowered, n=5, cutoff=0.4)]
    listed = ", ".join(dict.fromkeys(near)) or ", ".join(known)
    reject(f"catalog of {table}: name", repr(name), f"one of: {listed}")


def _numbers(row: dict[str, str], names: tuple[str, ...]) -> dict[str, Any]:
    return {name: float(row[name]) for name in names if row[name]}


def _source(row: dict[str, str]) -> Source:
    note = "; ".join(part for part in (row["standing"], row["note"]) if part)
    return Source(row["document"], row["place"], note)


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
    """
    row = _row("laminae", name)
    elastic = _numbers(row, PROPERTIES)
    stated = Allowables(
        **_numbers(row, STRENGTHS + STRAINS),
        basis=row["basis"],  # type: ignore[arg-type]  # text of the table, checked by Allowables
        condition=row["condition"],
        source=_source(row),
    )
    allowables = stated.with_linear_strains(E1=elastic["E1"], E2=elastic["E2"], G12=elastic["G12"])
    return Lamina(name=name, **elastic, allowables=allowables, source=_source(row))


def catalog() -> "pd.DataFrame":
    """List the published laminae.

    Returns
    -------
    DataFrame
        One row per lamina, indexed by name: kind, fiber, matrix, process, the properties in SI base units
        (Pa, m, kg/m^3, 1/K, K; strains and ratios as plain numbers), origin of the strains, basis, condition,
        document, place, standing and note. A value that the source does not give is NaN.
    """
    return _frame("laminae", PROPERTIES + STRENGTHS + STRAINS)


def metal(name: str) -> Metal:
    """Build a metal of a handbook.

    Parameters
    ----------
    name : str
        As in the index of `metals`.

    Returns
    -------
    Metal
        With its source; a strength that is not carried over is None.

    Raises
    ------
    ValueError
        If there is no such name; the message lists the near ones.
    """
    row = _row("metals", name)
    return Metal(
        name=name,
        **_numbers(row, METAL_PROPERTIES),
        basis=row["basis"],  # type: ignore[arg-type]  # text of the table, checked by Metal
        source=_source(row),
    )


def metals() -> "pd.DataFrame":
    """List the metals for pins, links, bushings and inserts.

    Returns
    -------
    DataFrame
        One row per metal, indexed by name: form, properties in SI base units (Pa, kg/m^3, 1/K), basis,
        document, place, standing and note. A strength that is not carried over is NaN.
    """
    return _frame("metals", METAL_PROPERTIES)


def _frame(table: str, numeric: tuple[str, ...]) -> "pd.DataFrame":
    import pandas as pd

    frame = pd.DataFrame(list(_rows(table).values())).set_index("name")
    columns = list(numeric)
    frame[columns] = frame[columns].replace("", "nan").astype(float)
    return frame
