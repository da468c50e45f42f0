"""Published materials, one row each of a data file, as objects and as tables.

A blank cell is a value the source does not give. Blank failure strains become strength / modulus, and the
source note of the allowables says so. Blank moisture expansions in the plane become zero: the thermal residual
tension across the fibers keeps its full size, where swelling would relieve it. What stands for blank cells
through the thickness is in `materials.through_thickness`.
"""

import csv
from difflib import get_close_matches
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from materials.allowables import ALLOWABLES, Allowables
from materials.checks import checked, reject
from materials.lamina import PROPERTIES, Lamina
from materials.metal import PROPERTIES as METAL_PROPERTIES
from materials.metal import Metal
from materials.source import Source

if TYPE_CHECKING:
    import pandas as pd


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
    >>> print(ply.source)  # doctest: +ELLIPSIS
    Soden, Hinton & Kaddour, Compos. Sci. Technol. 58 (1998) 1011-1022, Table 1 (from memory; ...
    """
    row = _row("laminae", name)
    elastic = _numbers(row, PROPERTIES)
    stated = Allowables(
        **_numbers(row, ALLOWABLES),
        basis=row["basis"],  # type: ignore[arg-type]  # text of the table, checked by Allowables
        condition=row["condition"],
        source=_source(row),
    )
    allowables = stated.with_linear_strains(E1=elastic["E1"], E2=elastic["E2"], G12=elastic["G12"])
    kind: Any = row["kind"]
    return Lamina(name=name, kind=kind, **elastic, allowables=allowables, source=_source(row))


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
    )


def catalog() -> "pd.DataFrame":
    """List the published laminae.

    Returns
    -------
    DataFrame
        One row per lamina, indexed by name: kind, fiber, matrix, process, the properties in SI base units
        (Pa, m, kg/m3, 1/K, K; strains and ratios as plain numbers), origin of the strains, basis, condition,
        document, place, standing and note. A value that the source does not give is NaN.

    Examples
    --------
    >>> catalog().loc["AS4/3501-6", ["fiber", "basis", "standing"]].tolist()
    ['AS4 carbon', 'typical', 'from memory']
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
    with (Path(__file__).with_name("data") / f"{table}.csv").open(encoding="utf-8", newline="") as file:
        return {row["name"]: row for row in csv.DictReader(file)}


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


def _source(row: dict[str, str]) -> Source:
    return Source(
        row["document"], row["place"], "; ".join(part for part in (row["standing"], row["note"]) if part)
    )


def _frame(table: str, numeric: tuple[str, ...]) -> "pd.DataFrame":
    import pandas as pd

    frame = pd.DataFrame(list(_rows(table).values())).set_index("name")
    columns = list(numeric)
    frame[columns] = frame[columns].replace("", "nan").astype(float)
    return frame
