"""A property along the span, 6 x 6 or 6, and the pieces and points that integrals along the span are taken over."""

from collections.abc import Callable
from functools import cache
from typing import Annotated

import numpy as np
from numpy.polynomial.legendre import legder, leggauss, legval, legvander
from numpy.typing import ArrayLike

from beam.strut.axis import Axis, distinct
from materials.checks import Array, Frozen, Limits, Numbers, array, reject

SAMPLES = 8  # points per bay of a property given as a callable
POINTS = 6  # Gauss points in each piece of a bay


def pieces(axis: Axis, *stations: Array) -> Array:
    """Ends of the pieces to integrate over, shape (end,): the kinks of the axis and all stations (...), each once."""
    return distinct(np.concatenate([axis.kinks, *(np.ravel(s) for s in stations)]), axis.length)


def gauss(ends: Array) -> tuple[Array, Array]:
    """Gauss-Legendre points and weights (end - 1, point) in every piece between ends (end,)."""
    x, w = leggauss(POINTS)
    half, middle = np.diff(ends)[:, None] / 2, (ends[1:] + ends[:-1])[:, None] / 2
    return middle + half * x, half * w


class Field(Frozen):
    """Legendre series (station - 1, term, ...) of a matrix or vector in every bay between stations (station,) [m]."""

    stations: Annotated[Numbers, Limits("m", shape=(-1,))]
    series: Annotated[Numbers, Limits("any")]

    def at(self, s: ArrayLike, bay_of: ArrayLike | None = None) -> Array:
        """Values (station, ...) at stations (station,): at a joint of the inboard bay, or of the bays of `bay_of`."""
        s = np.asarray(s, dtype=float)
        inside = s if bay_of is None else np.asarray(bay_of, dtype=float)
        bay = np.clip(np.searchsorted(self.stations, inside) - 1, 0, len(self.stations) - 2)
        start, end = self.stations[bay], self.stations[bay + 1]
        x = (2 * s - start - end) / (end - start)
        terms = self.series.shape[1]
        return np.einsum("sk,sk...->s...", legvander(x, terms - 1), self.series[bay])


Property = ArrayLike | Callable[[float], ArrayLike] | Field


def sample_points(stations: Array) -> Array:
    """Gauss points (station - 1, 8) where a property is sampled, never at an end of a bay [m]."""
    half, middle = np.diff(stations) / 2, (stations[1:] + stations[:-1]) / 2
    return middle[:, None] + half[:, None] * leggauss(SAMPLES)[0]


def sampled(stations: Array, values: Array) -> Field:
    """Polynomial in every bay between stations (station,) through values (station - 1, 8, ...) at `sample_points`."""
    return _fit(stations, values, leggauss(SAMPLES)[0])


def slopes(stations: Array, values: Array) -> Array:
    """Slope along the span of values (sample point, ...) at all `sample_points`; exactly 0 of constants."""
    by_bay = values.reshape(len(stations) - 1, SAMPLES, -1)
    turned = _to_slopes() @ (by_bay - by_bay[:, :1])
    return np.asarray((2 / np.diff(stations))[:, None, None] * turned).reshape(values.shape)


@cache
def _to_slopes() -> Array:
    """Slopes at the sample points of the polynomial through values there, on a bay from -1 to 1."""
    x = leggauss(SAMPLES)[0]
    grown = np.stack([legval(x, legder(row)) for row in np.eye(SAMPLES)], axis=1)
    return grown @ np.linalg.inv(legvander(x, SAMPLES - 1))


def field(what: str, given: Property, stations: Array, shape: tuple[int, ...] = (6, 6)) -> Field:
    """Field of a property of a `shape`: an array at the stations, one value, a callable of the station, or a Field."""
    if isinstance(given, Field):
        same = given.stations.shape == stations.shape and np.allclose(
            given.stations, stations, rtol=0, atol=1e-9 * stations[-1]
        )
        if not same or given.series.shape[2:] != shape:
            got = f"a field of {len(given.stations) - 1} bays and shape {given.series.shape[2:]}"
            reject(what, got, f"on the {len(stations) - 1} bays of the span, shape {shape}")
        return given
    if isinstance(given, type):
        reject(what, f"the class {given.__name__}", "an object", "call the class")
    if callable(given):
        s = sample_points(stations)
        values = np.stack(
            [array(f"{what} at {one:g} m", given(one), last=shape) for one in s.ravel().tolist()]
        )
        if values.shape[1:] != shape:
            reject(what, f"shape {values.shape[1:]} at one station", f"{shape}")
        return sampled(stations, values.reshape(*s.shape, *shape))
    values = array(what, given, last=shape)
    if values.shape not in (shape, (len(stations), *shape)):
        reject(what, f"shape {values.shape}", f"{shape} or {(len(stations), *shape)}, for the stations")
    values = np.broadcast_to(values, (len(stations), *shape))
    return _fit(stations, np.stack([values[:-1], values[1:]], axis=1), np.array([-1.0, 1.0]))


def _fit(stations: Array, values: Array, x: Array) -> Field:
    """Field through values (bay, place, ...) at places x (place,) from -1 to 1 in every bay."""
    to_series = np.linalg.inv(legvander(x, len(x) - 1))
    return Field(stations=stations, series=np.einsum("kn,bn...->bk...", to_series, values))
