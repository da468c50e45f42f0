"""The record of a measured drop: what it must hold, and how it is read from a csv file."""

import csv
import re
from pathlib import Path
from typing import Annotated, Literal

import numpy as np
from scipy.constants import g, inch, pound_force
from scipy.ndimage import median_filter

from materials.checks import Array, Frozen, Limits, Numbers, checked, number, reject

UNITS = {
    "time": {"s": 1.0, "ms": 1e-3},
    "acceleration": {"m/s2": 1.0, "g": g},
    "stroke": {"m": 1.0, "mm": 1e-3, "in": inch},
    "force": {"N": 1.0, "kN": 1e3, "lbf": pound_force},
}
"""Columns of a record and the size of each unit in SI [s, m/s2, m, N]."""

CONTACT = 0.02
"""Fraction of the peak force at which the tire counts as down: above the noise, below the first rise [-]."""

FREE_FALL = 0.2
"""Largest deviation of the acceleration before touchdown from free fall, over g [-]."""

FEWEST = 50
"""Fewest samples that show a peak (common practice, no source) [-]."""

FEWEST_COARSE = 8
"""Fewest samples of a record that is accepted with error bars (own choice) [-]."""

GAP = 1.6
"""Time step over the median of the nine around it beyond which samples are missing: times written with few digits
alternate by up to 1.5, one missing sample gives 2 [-]."""

COARSEST = 1 / 3
"""Time step over the period of the fastest content, three samples in a period: beyond, no useful error bar [-]."""

Bandwidth = Annotated[float, Limits("Hz", above=0.0, at_most=1e5, cause="given in rad/s or kHz?")]

HEADER = re.compile(r"\s*(\w+)\s*\[\s*([^\]\s]+)\s*\]\s*")


class DropRecord(Frozen):
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
    bandwidth : float, optional
        Fastest content of the channels, such as the cut-off frequency of the filter before the sampler. It accepts a
        record that is too coarse for its peaks, and gives them an error bar [Hz].

    Raises
    ------
    ValueError
        If samples are missing, the record starts after touchdown, the values cannot be in these units, or the
        samples are too coarse even for an error bar.

    Notes
    -----
    What shows a wrong unit: free fall shows that of the acceleration; the time from touchdown to half the largest
    stroke shows that of time; the fall in that time, with the speed v = integral of dv/dt until the largest stroke,
    shows that of the stroke. The unit of force shows with the mass, in `DropComparison`.

    Error bar of a peak: a sample lies within h/2 of it, with the time step h. Content below the bandwidth f that keeps
    within +-A of its middle falls from a peak A no faster than a cosine, to A cos(pi f h) (Duffin and Schaeffer 1938,
    from memory). So the peak exceeds the largest sample by at most a (1 / cos(pi f h) - 1), with half the range of the
    samples a. For short steps this is the parabola's a (pi f h)^2 / 2 = max|f''| h^2 / 8.

    Examples
    --------
    >>> time = np.arange(-0.02, 0.08, 2.5e-4)
    >>> push = np.where(time > 0, np.sin(np.pi * time / 0.1), 0.0)
    >>> record = DropRecord(time=time, acceleration=100 * push - 9.81, stroke=0.08 * push, force=3e4 * push)
    >>> round(record.contact_time, 6)
    0.000637
    """

    time: Annotated[Numbers, Limits("s", shape=(-1,), finite=False)]
    acceleration: Annotated[Numbers, Limits("m/s2", shape=(-1,), finite=False)]
    stroke: Annotated[Numbers, Limits("m", shape=(-1,), finite=False)]
    force: Annotated[Numbers, Limits("N", shape=(-1,), finite=False)]
    bandwidth: Bandwidth | None = None

    def __post_init__(self) -> None:
        super().__post_init__()
        self._check_samples()
        what, most = "DropRecord: largest stroke [m]", float(np.abs(self.stroke).max())
        number(what, most, above=1e-3, at_most=2, cause="given in mm or inches, or not connected?")
        what, most = "DropRecord: largest force [N]", float(self.force.max())
        number(what, most, above=100, at_most=1e7, cause="given in kN, or positive down?")
        self._check_free_fall()
        self._check_fall()
        if self.bandwidth is not None:
            what = "DropRecord: bandwidth times the widest time step after touchdown [-]"
            cause = "fewer than three samples in a period of the fastest content: no error bar is of use"
            number(what, self.bandwidth * self.widest_step, at_most=COARSEST, cause=cause)

    def _check_samples(self) -> None:
        """Refuse columns of different length, missing values, and time that does not rise or has a gap."""
        columns = {name: getattr(self, name) for name in UNITS}
        lengths = {name: len(values) for name, values in columns.items()}
        if len(set(lengths.values())) > 1:
            reject("DropRecord: samples", lengths, "equally many in every column")
        if len(self.time) < FEWEST and self.bandwidth is None:
            cause = "with the bandwidth of its channels a coarse record is accepted, with error bars"
            reject("DropRecord: samples", len(self.time), f"{FEWEST} samples or more", cause)
        if len(self.time) < FEWEST_COARSE:
            reject("DropRecord: samples", len(self.time), f"{FEWEST_COARSE} samples or more")
        for name, values in columns.items():
            holes = np.flatnonzero(~np.isfinite(values))
            if len(holes):
                got, cause = f"{values[holes[0]]} in row {holes[0] + 1} of numbers", "a sample missing?"
                reject(f"DropRecord: {name}", got, "a finite number in every row", cause)
        step = np.diff(self.time)
        back = np.flatnonzero(step <= 0)
        if len(back):
            got = (
                f"{self.time[back[0] + 1]:.6g} after {self.time[back[0]]:.6g} in row {back[0] + 2} of numbers"
            )
            reject("DropRecord: time [s]", got, "rising", "two records in one, or too few digits written?")
        usual = median_filter(step, size=9, mode="mirror")
        gaps = np.flatnonzero(step > GAP * usual)
        if len(gaps):
            i = int(gaps[0])
            got = f"a step of {step[i]:.4g} after {self.time[i]:.6g} in row {i + 2} of numbers"
            limit = f"near the {usual[i]:.4g} of the steps around it"
            reject("DropRecord: time [s]", got, limit, "samples missing, or too few digits written?")
        number("DropRecord: span of time [s]", float(np.ptp(self.time)), at_most=60, cause="given in ms?")

    def _check_free_fall(self) -> None:
        """Refuse a mass that does not fall freely before touchdown: unit and zero of the accelerometer show there."""
        before = self.acceleration[: first_loaded(self.force)]
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

    def _check_fall(self) -> None:
        """Refuse time and stroke that do not fit the fall after touchdown: wide limits, narrower than a wrong unit."""
        first, top = first_loaded(self.force), int(np.argmax(self.stroke))
        half = int(np.argmax(self.stroke >= 0.5 * self.stroke[top]))
        wait = float(self.time[half]) - self.contact_time
        what = "DropRecord: time from touchdown to half the largest stroke [s]"
        number(what, wait, at_least=2e-3, at_most=2, cause="time in s under ms, or the other way round?")
        if top == len(self.time) - 1:  # the shock still shortens: `DropComparison` refuses so short a record
            return
        shortened = slice(first, top + 1)
        speed = float(np.trapezoid(self.acceleration[shortened], self.time[shortened]))
        what = "DropRecord: speed at touchdown by the acceleration [m/s]"
        number(what, speed, at_least=0.1, at_most=15, cause="another unit of time or acceleration?")
        what = "DropRecord: half the largest stroke over the fall in that time [-]"
        cause = "stroke in inches under mm, or m under inches?"
        number(what, 0.5 * float(self.stroke[top]) / (speed * wait), at_least=0.04, at_most=4, cause=cause)

    @property
    def contact_time(self) -> float:
        """Time at which the force rises through `CONTACT` of its peak, on the record's clock [s]."""
        return contact_time(self.time, self.force)

    @property
    def widest_step(self) -> float:
        """Largest time step from the last sample before touchdown on [s]."""
        return float(np.diff(self.time[max(first_loaded(self.force) - 1, 0) :]).max())

    @checked
    def peak_error(self, channel: Literal["acceleration", "stroke", "force"]) -> float:
        """Most by which the true peak of a channel exceeds its largest sample, in the unit of the channel [any].

        Parameters
        ----------
        channel : str
            "acceleration", "stroke" or "force".

        Raises
        ------
        ValueError
            If the bandwidth was not given.
        """
        if self.bandwidth is None:
            reject("DropRecord: bandwidth [Hz]", None, "given, for an error bar", "it is never guessed")
        return amplitude(getattr(self, channel), self.bandwidth, self.widest_step) * (
            1 - np.cos(np.pi * self.bandwidth * self.widest_step)
        )


def amplitude(values: Array, bandwidth: float, step: float) -> float:
    """Half the range that content up to a bandwidth [Hz] may have, from samples (sample,) a time step [s] apart."""
    return float(0.5 * np.ptp(values) / np.cos(np.pi * bandwidth * step))


def first_loaded(force: Array) -> int:
    """First sample of a force history, shape (sample,), from which it stays above `CONTACT` up to half its peak."""
    half = int(np.argmax(force > 0.5 * force.max()))
    clear = np.flatnonzero(force[:half] <= CONTACT * force.max())
    return int(clear[-1]) + 1 if len(clear) else 0


def contact_time(time: Array, force: Array) -> float:
    """Time [s] at which the force rises through `CONTACT` of its peak, between the samples, shape (sample,) each."""
    i = first_loaded(force)
    ends = slice(i - 1, i + 1) if i else slice(0, 1)
    return float(np.interp(CONTACT * force.max(), force[ends], time[ends]))


@checked
def read_drop(path: str | Path, *, bandwidth: Bandwidth | None = None) -> DropRecord:
    """Read a measured drop from a csv file.

    Parameters
    ----------
    path : str or Path
        A file whose first line names the columns with their units, in any order, such as
        ``time [s],acceleration [g],stroke [mm],force [kN]``. Further columns, empty
        lines and lines that start with # are skipped.
    bandwidth : float, optional
        Fastest content of the channels, which accepts a coarse record with error bars; see `DropRecord` [Hz].

    Returns
    -------
    DropRecord
        The record in SI units.

    Raises
    ------
    ValueError
        If a column or its unit is missing or unknown, a cell is no number, or `DropRecord` refuses the record.

    Examples
    --------
    >>> import tempfile
    >>> time = np.arange(-0.02, 0.08, 2.5e-4)
    >>> push = np.where(time > 0, np.sin(np.pi * time / 0.1), 0.0)
    >>> rows = np.column_stack([time, 10 * push - 1, 80 * push, 30 * push])
    >>> path = Path(tempfile.mkdtemp()) / "drop.csv"
    >>> np.savetxt(path, rows, delimiter=",", comments="", header="time [s],acceleration [g],stroke [mm],force [kN]")
    >>> read_drop(path).stroke.max().round(3)
    np.float64(0.08)
    """
    name = Path(path).name
    try:
        with open(path, newline="", encoding="utf-8-sig") as file:
            lines = [line for line in file if line.strip() and not line.startswith("#")]
    except UnicodeDecodeError:
        reject(name, "a file that is no UTF-8 text", "a csv file", "a workbook, or text in another encoding?")
    rows = list(csv.reader(lines))
    if not rows:
        reject(name, "an empty file", "a line of headings and lines of numbers")
    columns = {
        column: [_cell(name, column, k, row, i) * unit for k, row in enumerate(rows[1:], start=1)]
        for column, (i, unit) in _headings(name, rows[0]).items()
    }
    try:
        return DropRecord(
            **{column: np.array(values) for column, values in columns.items()}, bandwidth=bandwidth
        )
    except ValueError as error:
        raise ValueError(f"{name}: {error}") from error


def _headings(name: str, row: list[str]) -> dict[str, tuple[int, float]]:
    """Place and unit of every column."""
    places = {}
    for i, heading in enumerate(row):
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
        reject(f"{name}: missing column", ", ".join(missing), limit, f"the headings are {row}")
    return places


def _cell(name: str, column: str, k: int, row: list[str], i: int) -> float:
    """One number of a row."""
    try:
        return float(row[i])
    except (IndexError, ValueError):
        got = repr(row[i]) if i < len(row) else "no cell"
        cause = "a sample missing, or a decimal comma?"
        reject(f"{name}: {column} in row {k} of numbers", got, "a number", cause)
