"""How section forces spread around a thin closed wall, a circle or a box with rounded corners, as loads per width."""

from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from materials.checks import Array


class Outline(NamedTuple):
    """Integrals along a rounded box: length [m], enclosed area [m2], of y3^2 and of y2^2 [m3]."""

    perimeter: float
    area: float
    J2: float
    J3: float

    @classmethod
    def of(cls, width: float, height: float, radius: float) -> "Outline":
        """Integrals of a box with rounded corners [m]; of a circle where the radius is half of both sides."""
        a, b, r = width / 2 - radius, height / 2 - radius, radius

        def second(along: float, across: float) -> float:
            corner = across**2 * np.pi / 2 + 2 * across * r + r**2 * np.pi / 4
            return float(4 * along * (across + r) ** 2 + 4 * across**3 / 3 + 4 * r * corner)

        area = width * height - (4 - np.pi) * r**2
        return cls(4 * (a + b) + 2 * np.pi * r, area, second(a, b), second(b, a))

    @property
    def torsion(self) -> float:
        """4 A^2 / perimeter [m3]."""
        return 4.0 * self.area**2 / self.perimeter


class Around(NamedTuple):
    """Places around the bonded surface."""

    whole: Outline
    y: Array
    """(place, 2) [m]."""
    flow: Array
    """Shear flow of unit V2 and V3, (place, 2) [1/m]."""
    flat: NDArray[np.bool_]
    """Whether a place lies on a flat, (place,)."""


@lru_cache(maxsize=64)
def around(width: float, height: float, radius: float, on_corner: int) -> Around:
    """Places on the flats and `on_corner` of them around every corner, with the shear flow that equilibrium gives."""
    whole = Outline.of(width, height, radius)
    r = radius
    a, b = max(width / 2 - r, 0.0), max(height / 2 - r, 0.0)
    s, phi, along = (
        b * np.linspace(0, 1, 3),
        np.linspace(0, np.pi / 2, on_corner),
        a * np.linspace(0, 1, 3),
    )
    zero = 0.0 * s
    # of a quarter: y2, y3 and their integrals from the middle of the face +e2
    side = np.array([a + r + zero, s, (a + r) * s, s**2 / 2])
    corner = np.array(
        [
            a + r * np.cos(phi),
            b + r * np.sin(phi),
            r * (a * phi + r * np.sin(phi)),
            r * (b * phi + r * (1 - np.cos(phi))),
        ]
    )
    corner[2:] += side[2:, -1:]
    top = np.array([a - along, b + r + zero, a * along - along**2 / 2, (b + r) * along])
    top[2:] += corner[2:, -1:]
    pieces = [(side, True)] * (b > 1e-9) + [(corner, False)] * (r > 0.0) + [(top, True)] * (a > 1e-9)
    quarter = np.concatenate([piece for piece, _ in pieces], axis=1)
    flat = np.concatenate([np.full(piece.shape[1], is_flat) for piece, is_flat in pieces])
    y, flow = [], []
    for sign2, sign3 in ((1, 1), (-1, 1), (-1, -1), (1, -1)):
        y.append(np.stack([sign2 * quarter[0], sign3 * quarter[1]], axis=-1))
        up = sign2 * (quarter[3, -1] - quarter[3]) / whole.J2
        flow.append(np.stack([-sign3 * quarter[2] / whole.J3, up], axis=-1))
    return Around(whole, np.concatenate(y), np.concatenate(flow), np.tile(flat, 4))


def line_loads(force: Array, moment: Array, places: Around) -> Array:
    """Loads per width (case, place, 5) [N/m] of section forces (N, V2, V3) and (T, M2, M3), each (case, 3).

    Of N, M2, M3 along the wall; of T and V around it, counter-clockwise seen against e1.
    """
    N, V2, V3 = force.T[..., None]
    T, M2, M3 = moment.T[..., None]
    y2, y3 = places.y.T
    whole = places.whole
    along = N / whole.perimeter + 0.0 * y2, M2 * y3 / whole.J2, -M3 * y2 / whole.J3
    turn = T / (2.0 * whole.area) + 0.0 * y2, V2 * places.flow[:, 0] + V3 * places.flow[:, 1]
    return np.stack([*along, *turn], axis=-1)
