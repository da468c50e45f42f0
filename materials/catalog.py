"""Published materials, one row each of a data file, as objects.

A blank cell is a value the source does not give. Blank failure strains become strength / modulus, and the
source note of the allowables says so; blank moisture expansions in the plane become zero, which leaves the
thermal residual tension across the fibers at its full size, where swelling would relieve it. What stands for
blank cells through the thickness is in `materials.through_thickness`.
"""

import csv
from difflib import get_close_matches
from functools import cache
from pathlib import Path
from typing import Any, NoReturn

from materials.allowables import Allowables
from materials.checks import reject
from materials.knockdown import ALLOWABLES
from materials.lamina import LIMITS, Lamina
from materials.metal import LIMITS as METAL_LIMITS
from materials.metal import Metal
from materials.source import Source

PROPERTIES = tuple(name for name, *_ in LIMITS)
METAL_PROPERTIES = tuple(name for name, *_ in METAL_LIMITS)


@cache
def rows(table: str) -> dict[str, dict[str, str]]:
    """Read a data file of materials.

    Parameters
    ----------
    table : {"laminae", "metals"}
        Which of them.

    Returns
    -------
    dict of str to dict
        The cells of each row by column, the rows by name.
    """
    with (Path(__file__).with_name("data") / f"{table}.csv").open(encoding="utf-8", newline="") as file:
        return {row["name"]: row for row in csv.DictReader(file)}


def _row(table: str, name: str) -> dict[str, str]:
    known = rows(table)
    if not isinstance(name, str) or name not in known:
        _unknown(table, name, tuple(known))
    return known[name]


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
        **_numbers(row, ALLOWABLES),
        basis=row["basis"],  # type: ignore[arg-type]  # text of the table, checked by Allowables
        condition=row["condition"],
        source=_source(row),
    )
    allowables = stated.with_linear_strains(E1=elastic["E1"], E2=elastic["E2"], G12=elastic["G12"])
    return Lamina(name=name, **elastic, allowables=allowables, source=_source(row))


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
