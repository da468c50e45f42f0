"""Published materials as tables to look through."""

from typing import TYPE_CHECKING

from materials.catalog import METAL_PROPERTIES, PROPERTIES, rows
from materials.knockdown import ALLOWABLES

if TYPE_CHECKING:
    import pandas as pd


def catalog() -> "pd.DataFrame":
    """List the published laminae.

    Returns
    -------
    DataFrame
        One row per lamina, indexed by name: kind, fiber, matrix, process, the properties in SI base units
        (Pa, m, kg/m^3, 1/K, K; strains and ratios as plain numbers), origin of the strains, basis, condition,
        document, place, standing and note. A value that the source does not give is NaN.
    """
    return _frame("laminae", PROPERTIES + ALLOWABLES)


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

    frame = pd.DataFrame(list(rows(table).values())).set_index("name")
    columns = list(numeric)
    frame[columns] = frame[columns].replace("", "nan").astype(float)
    return frame
