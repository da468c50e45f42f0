"""A property along the span, 6 x 6 or 6: a polynomial in every bay between stations."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.polynomial.legendre import leggauss, legvander
from numpy.typing import ArrayLike

from materials.checks import Array, array, reject

POINTS = 8  # samples per bay of a property given as a callable


@dataclass(frozen=True, kw_only=True, eq=False)
class Field:
    """Legendre series of a matrix or vector in every bay.

    Parameters
    ----------
    stations : ndarray, shape (station,)
        Ends of the bays, growing [m].
    series : ndarray, shape (station - 1, term, ...)
        Coefficients of the Legendre polynomials of each bay, in the unit of the property [any].
    """

    stations: Array
    series: Array

    def at(self, s: ArrayLike, bay_of: ArrayLike | None = None) -> Array:
        """Values at stations; at the end of a bay, those of the inboard bay.

        Parameters
        ----------
        s : array_like, shape (station,)
            Stations [m].
        bay_of : array_like, shape (station,), optional
            Stations whose bays to take, where not those of `s` itself [m].

        Returns
        -------
        ndarray, shape (station, 6, 6) or (station, 6)
            The matrices or vectors, in the unit of the property [any].
        """
        s = np.asarray(s, dtype=float)
        inside = s if bay_of is None else np.asarray(bay_of, dtype=float)
        bay = np.clip(np.searchsorted(self.stations, inside) - 1, 0, len(self.stations) - 2)
        start, end = self.stations[bay], self.stations[bay + 1]
        x = (2 * s - start - end) / (end - start)
        terms = self.series.shape[1]
        return np.einsum("sk,sk...->s...", legvander(x, terms - 1), self.series[bay])


Property = ArrayLike | Callable[[float], ArrayLike] | Field


def sample_points(stations: Array) -> Array:
    """Stations where a property is sampled: eight Gauss points in every bay, never an end of a bay.

    Parameters
    ----------
    stations : ndarray, shape (station,)
        Ends of the bays, growing [m].

    Returns
    -------
    ndarray, shape (station - 1, 8)
        The points [m].
    """
    half, middle = np.diff(stations) / 2, (stations[1:] + stations[:-1]) / 2
    return middle[:, None] + half[:, None] * leggauss(POINTS)[0]


def sampled(stations: Array, values: Array) -> Field:
    """Fit a polynomial in every bay through values at the sample points.

    Parameters
    ----------
    stations : ndarray, shape (station,)
        Ends of the bays, growing [m].
    values : ndarray, shape (station - 1, 8, ...)
        Values at `sample_points` [any].

    Returns
    -------
    Field
        The property along the span.
    """
    return _fit(stations, values, leggauss(POINTS)[0])


def field(what: str, given: Property, stations: Array, shape: tuple[int, ...] = (6, 6)) -> Field:
    """Turn an array at the stations, or a callable of the station, into a `Field`.

    Parameters
    ----------
    what : str
        Name for the message, with the unit.
    given : array_like, shape (station, *shape) or shape, callable, or Field
        Values at the stations, linear between them; one for the whole span; or a callable of the
        station, sampled at eight Gauss points in every bay, so that it may jump at a station [any].
    stations : ndarray, shape (station,)
        Ends of the bays, growing [m].
    shape : tuple of int
        Shape of one value [-].

    Returns
    -------
    Field
        The property along the span.

    Raises
    ------
    ValueError
        If the shape is another, or a Field has other stations.
    """
    if isinstance(given, Field):
        same = given.stations.shape == stations.shape and np.allclose(
            given.stations, stations, rtol=0, atol=1e-9
        )
        if not same or given.series.shape[2:] != shape:
            got = f"a field of {len(given.stations) - 1} bays and shape {given.series.shape[2:]}"
            reject(what, got, f"on the {len(stations) - 1} bays of the span, shape {shape}")
        return given
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
    to_series = np.linalg.inv(legvander(x, len(x) - 1))
    return Field(stations=stations, series=np.einsum("kn,bn...->bk...", to_series, values))
