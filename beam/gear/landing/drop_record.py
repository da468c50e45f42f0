"""A measured drop: what a record must hold, and how it is read from a csv file."""

import csv
import re
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from scipy.constants import g, inch, pound_force

from materials.checks import Array, array, number, reject

UNITS = {
    "time": {"s": 1.0, "ms": 1e-3},
    "acceleration": {"m/s2": 1.0, "g": g},
    "stroke": {"m": 1.0, "mm": 1e-3, "in": inch},
    "force": {"N": 1.0, "kN": 1e3, "lbf": pound_force},
}
"""Columns of a record and what one of each unit is in SI [s, m/s2, m, N]."""

CONTACT = 0.02
"""Part of the peak force at which the tire counts as down: above the noise, below the first rise [-]."""

FREE_FALL = 0.2
"""How far the acceleration before touchdown may lie from free fall, over g [-]."""

FEWEST = 50
"""Fewest samples that show a peak (common practice, no source) [-]."""

HEADER = re.compile(r"\s*(\w+)\s*\[\s*([^\]\s]+)\s*\]\s*")


@dataclass(frozen=True, kw_only=True, eq=False)
class DropRecord:
    """Histories of a measured drop, from before touchdown to after the peak.

    Parameters
    ----------
    time : array_like, shape (sample,)
        Time from any zero, rising [s].
    acceleration : array_like, shape (sample,)
        dv/dt of the dropped mass, positive up: -g in free fall, 0 at rest [m/s2].
    stroke : array_like, shape (sample,)
        Stroke of the shock from fully extended [m].
    force : array_like, shape (sample,)
        Vertical force on the platform, positive up on the tire [N].

    Raises
    ------
    ValueError
        If the lengths differ, time does not rise, the record starts after touchdown, or the values cannot be
        in these units.
    """

    time: Array
    acceleration: Array
    stroke: Array
    force: Array

    def __post_init__(self) -> None:
        for name in UNITS:
            values = array(f"DropRecord: {name}", getattr(self, name), last=(-1,))
            if values.ndim != 1 or len(values) < FEWEST:
                reject(f"DropRecord: {name}", f"shape {values.shape}", f"one row of {FEWEST} samples or more")
            object.__setattr__(self, name, values)
        lengths = {name: len(getattr(self, name)) for name in UNITS}
        if len(set(lengths.values())) > 1:
            reject("DropRecord: samples", lengths, "equally many in every column")
        back = np.flatnonzero(np.diff(self.time) <= 0)
        if len(back):
            got = f"{self.time[back[0] + 1]:.6g} after {self.time[back[0]]:.6g} in sample {back[0] + 1}"
            reject("DropRecord: time [s]", got, "rising", "two records in one, or too few digits written?")
        number("DropRecord: span of time [s]", float(np.ptp(self.time)), at_most=60, cause="given in ms?")
        what, most = "DropRecord: largest stroke [m]", float(np.abs(self.stroke).max())
        number(what, most, above=1e-3, at_most=2, cause="given in mm or inches, or not connected?")
        what, most = "DropRecord: largest force [N]", float(self.force.max())
        number(what, most, above=100, at_most=1e7, cause="given in kN, or positive down?")
        self._check_free_fall()

    def _check_free_fall(self) -> None:
        """Before touchdown the mass falls freely: units and zero of the accelerometer show there."""
        before = self.acceleration[: self._first_loaded]
        if len(before) < 3:
            limit = f"at least 3 before the force reaches {CONTACT:.0%} of its peak"
            reject("DropRecord: samples before touchdown", len(before), limit, "triggered too late?")
        fall = float(np.median(before))
        if abs(fall + g) <= FREE_FALL * g:
            return
        causes = {
            -1.0: "given in g?",
            -(g**2): "given in m/s2 under a heading of g?",
            0.0: "an accelerometer that reads 0 in free fall? take g off",
            g: "positive down? turn the sign",
        }
        cause = next(
            (text for at, text in causes.items() if abs(fall - at) <= FREE_FALL * max(abs(at), 1)), ""
        )
        limit = f"{-g:.4g} within {FREE_FALL:.0%}"
        reject("DropRecord: acceleration in free fall [m/s2]", f"{fall:.4g}", limit, cause)

    @property
    def _first_loaded(self) -> int:
        """First sample of the rise to half the peak force that is above `CONTACT`."""
        return first_loaded(self.force)

    @property
    def contact_time(self) -> float:
        """When the force rises through `CONTACT` of its peak, on the record's clock [s]."""
        return contact_time(self.time, self.force)


def first_loaded(force: Array) -> int:
    """First sample with the tire down.

    Parameters
    ----------
    force : ndarray, shape (sample,)
        Vertical force [N].

    Returns
    -------
    int
        Index from which the force stays above `CONTACT` of its peak until it reaches half of it [-].
    """
    half = int(np.argmax(force > 0.5 * force.max()))
    clear = np.flatnonzero(force[:half] <= CONTACT * force.max())
    return int(clear[-1]) + 1 if len(clear) else 0


def contact_time(time: Array, force: Array) -> float:
    """Time at which the force rises through `CONTACT` of its peak, between the samples.

    Parameters
    ----------
    time : ndarray, shape (sample,)
        Time [s].
    force : ndarray, shape (sample,)
        Vertical force [N].

    Returns
    -------
    float
        Time [s].
    """
    i = first_loaded(force)
    ends = slice(i - 1, i + 1) if i else slice(0, 1)
    return float(np.interp(CONTACT * force.max(), force[ends], time[ends]))


def read_drop(path: str | Path) -> DropRecord:
    """Read a measured drop from a csv file.

    Parameters
    ----------
    path : str or Path
        A file whose first line names the columns with their units, in any order, such as
        ``time [s],acceleration [g],stroke [mm],force [kN]``; further columns are left out, empty
        lines and lines that start with # are skipped.

    Returns
    -------
    DropRecord
        The record in SI units.

    Raises
    ------
    ValueError
        If a column or its unit is missing or unknown, a cell is not a number, or the record fails the
        checks of `DropRecord`.
    """
    if not isinstance(path, str | Path):
        reject("read_drop: path", repr(path), "the name of a csv file")
    name = Path(path).name
    try:
        with open(path, newline="", encoding="utf-8-sig") as file:
            lines = [line for line in file if line.strip() and not line.startswith("#")]
    except UnicodeDecodeError:
        reject(name, "a file that is no UTF-8 text", "a csv file", "a workbook, or text in another encoding?")
    rows = list(csv.reader(lines))
    if not rows:
        reject(f"{name}", "an empty file", "a line of headings and lines of numbers")
    places = {}
    for i, heading in enumerate(rows[0]):
        match = HEADER.fullmatch(heading)
        column = (match.group(1) if match else heading).strip().lower()
        if column not in UNITS:
            continue
        unit, known = match.group(2) if match else "none", UNITS[column]
        if unit not in known:
            reject(f"{name}: unit of column {column!r}", unit, f"one of {', '.join(known)} in [ ]")
        if column in places:
            reject(f"{name}: column {column!r}", "two of that name", "one")
        places[column] = i, known[unit]
    missing = [column for column in UNITS if column not in places]
    if missing:
        limit = "columns time, acceleration, stroke, force, each with its unit, as in 'time [s]'"
        reject(f"{name}: missing column", ", ".join(missing), limit, f"the headings are {rows[0]}")
    columns = {
        column: [_cell(name, column, k, row, i) * unit for k, row in enumerate(rows[1:], start=1)]
        for column, (i, unit) in places.items()
    }
    try:
        return DropRecord(**{column: np.array(values) for column, values in columns.items()})
    except ValueError as error:
        raise ValueError(f"{name}: {error}") from error


def _cell(name: str, column: str, k: int, row: list[str], i: int) -> float:
    """One number of a row."""
    try:
        return float(row[i])
    except (IndexError, ValueError):
        got = repr(row[i]) if i < len(row) else "no cell"
        reject(f"{name}: {column} in row {k} of numbers", got, "a number", "a decimal comma?")
