"""A table in the units it is read in."""

from collections.abc import Mapping
from typing import TYPE_CHECKING

from beam.units import shown, symbol
from materials.checks import one_of

if TYPE_CHECKING:
    from pandas import DataFrame


def in_units(table: "DataFrame", quantities: Mapping[str, str], units: str) -> "DataFrame":
    """Return a table of base SI as it is, or in US customary units with the unit in the name of each column.

    A renamed column cannot be taken for one of base SI by what reads the table on.

    Parameters
    ----------
    table : DataFrame
        Numbers in base SI.
    quantities : mapping of str to str
        Column -> quantity of `beam.units.shown`.
    units : str
        "SI" or "US".

    Returns
    -------
    DataFrame
        The same table, or a converted copy.

    Raises
    ------
    ValueError
        If the system of units is unknown.
    """
    if one_of("units", units, ("SI", "US")) == "SI":
        return table
    columns = {name: shown(table[name].to_numpy(), quantity, units) for name, quantity in quantities.items()}
    names = {name: f"{name} [{symbol(quantity, units)}]" for name, quantity in quantities.items()}
    return table.assign(**columns).rename(columns=names)
