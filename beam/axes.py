r"""The one drawing of axes and signs, and the rotations that use it.

Airplane axes: x aft, y starboard, z up, right-handed. Strut axes: e1 from the root
(trunnion) to the tip (link pivot), e2 as near to aft as square to e1 allows, e3 = e1 x e2.
Starboard strut, seen from behind, running down and outboard::

            z up
            |                              root  o        e2 aft, toward the reader
            |                                  .' \
            o-----> y starboard        e3  <-'     \ e1   e3 points inboard and down
           x aft, toward the reader                 v
                                                     tip

Signs of a wheel load on the starboard leg: drag +x, up +z, outboard +y, inboard -y. Gravity is -z.

Section, seen from the tip toward the root (e1 toward the reader); the walls run clockwise,
from +e3 toward +e2, and carry wall axes x, y, z::

                       +e3
                        ^                  wall axes
                .---- y -->----.           x = e1, along the span (toward the reader)
               /        |       \          y = t, around the section, clockwise
              |         |        |         z = n, outward, with n = e1 x t and x cross y = z
              |         o--------|-> +e2
              |                  |         a 0 degree fiber runs along x; +45 turns from x toward y;
               \                /          the first ply of a lay-up is the inner one, z = -h/2
                '--------------'           Nxy > 0 acts on the +x face along +y

Section forces (N, V2, V3, T, M2, M3): what the OUTBOARD part puts on the INBOARD part, so

    (N, V2, V3) = sum of the forces applied outboard, on e1, e2, e3
    (T, M2, M3) = sum of (r - r_section) x force + moment applied outboard, on e1, e2, e3

    axial strain at (y2, y3) = eps + y3 kappa2 - y2 kappa3
    M2 = integral of sigma y3,   M3 = - integral of sigma y2

M2 > 0 pulls the +e3 face, M3 > 0 pulls the -e2 face. Displacements are (u1, u2, u3) along the axes and
rotations (r1, r2, r3) about them by the right hand; kappa = d r / d s.
"""

import numpy as np
from numpy.typing import ArrayLike

from materials.checks import Array, array, reject

FORCES = ("N", "V2", "V3", "T", "M2", "M3")
MOTIONS = ("u1", "u2", "u3", "r1", "r2", "r3")


def frame(along: ArrayLike, toward: ArrayLike) -> Array:
    """Right-handed axes, shape (..., 3, 3), with e1 `along` a direction and e2 as near `toward` another as can be.

    Rows are e1 = a/|a|, e2 = (t - (t.e1) e1)/|...|, e3 = e1 x e2.
    """
    a = array("frame: along", along, last=(3,))
    t = array("frame: toward", toward, last=(3,))
    length = np.linalg.norm(a, axis=-1, keepdims=True)
    reach = np.linalg.norm(t, axis=-1, keepdims=True)
    if not (length.all() and reach.all()):
        reject(
            "frame: along, toward", "a direction of zero length", "two directions", "root and tip are one?"
        )
    e1 = a / length
    across = t / reach - np.sum(t / reach * e1, axis=-1, keepdims=True) * e1
    square = np.linalg.norm(across, axis=-1, keepdims=True)
    if (square < 1e-9).any():
        reject("frame: toward", toward, "not parallel to along", "e2 is not defined by a parallel direction")
    e1, e2 = np.broadcast_arrays(e1, across / square)
    return np.stack([e1, e2, np.cross(e1, e2)], axis=-2)


def attitude(attitude_deg: ArrayLike) -> Array:
    """Ground aft, starboard and ground up as columns, shape (..., 3, 3), in the axes of an airplane nose up [-].

    Nose up, the tail goes down: ground aft = (cos a, 0, sin a), ground up = (-sin a, 0, cos a). `into` takes
    components on ground axes to components on airplane axes, `out_of` goes back.
    """
    a = np.radians(np.asarray(attitude_deg, dtype=float))
    c, s, zero, one = np.cos(a), np.sin(a), np.zeros_like(a), np.ones_like(a)
    rows = [np.stack(row, axis=-1) for row in ((c, zero, -s), (zero, one, zero), (s, zero, c))]
    return np.stack(rows, axis=-2)


def into(axes: ArrayLike, vector: ArrayLike) -> Array:
    """Components on the rows of `axes`, shape (..., 3, 3), of vectors in the axes that those rows are written in."""
    return np.einsum("...ij,...j->...i", np.asarray(axes, dtype=float), np.asarray(vector, dtype=float))


def out_of(axes: ArrayLike, vector: ArrayLike) -> Array:
    """Undo `into`: from components on the rows of `axes` to the axes that the rows are written in."""
    return np.einsum("...ji,...j->...i", np.asarray(axes, dtype=float), np.asarray(vector, dtype=float))


def skew(vector: ArrayLike) -> Array:
    """Matrix of the vector product, shape (..., 3, 3): skew(a) b = a x b."""
    a = np.asarray(vector, dtype=float)
    out = np.zeros((*a.shape, 3))
    out[..., 0, 1], out[..., 0, 2], out[..., 1, 2] = -a[..., 2], a[..., 1], -a[..., 0]
    out[..., 1, 0], out[..., 2, 0], out[..., 2, 1] = a[..., 2], -a[..., 1], a[..., 0]
    return out


def rotation_vector(matrix: ArrayLike) -> Array:
    """Rotation vectors, shape (..., 3), of length up to pi [rad] of rotation matrices; undoes `rotation`.

    Through the quaternion (q0, q) with the largest of its four parts as the divisor: 2 atan2(|q|, q0) q/|q|.
    """
    R = np.asarray(matrix, dtype=float)
    trace = np.einsum("...ii->...", R)
    axial = np.stack(
        [R[..., 2, 1] - R[..., 1, 2], R[..., 0, 2] - R[..., 2, 0], R[..., 1, 0] - R[..., 0, 1]], -1
    )
    four = np.zeros((*R.shape[:-2], 4, 4))
    four[..., 0, 0], four[..., 0, 1:], four[..., 1:, 0] = 1 + trace, axial, axial
    four[..., 1:, 1:] = R + np.swapaxes(R, -1, -2) + (1 - trace)[..., None, None] * np.eye(3)
    largest = np.argmax(np.einsum("...ii->...i", four), axis=-1)
    q = np.take_along_axis(four, largest[..., None, None], axis=-2)[..., 0, :]
    q = q * np.where(q[..., :1] < 0, -1.0, 1.0) / np.linalg.norm(q, axis=-1, keepdims=True)
    size = np.linalg.norm(q[..., 1:], axis=-1, keepdims=True)
    half = np.arctan2(size, q[..., :1])
    return 2 * q[..., 1:] * np.divide(half, size, out=np.ones_like(size), where=size > 0)


def rotation(vector: ArrayLike) -> Array:
    """Rotation matrix, shape (..., 3, 3), of a rotation vector [rad]: by its length about its direction, right hand.

    Rodrigues: R = I + (sin a / a) S + ((1 - cos a) / a^2) S^2 with S = skew(vector) and a its length, written with
    sinc so that a = 0 needs no special case.
    """
    v = np.asarray(vector, dtype=float)
    a = np.linalg.norm(v, axis=-1)[..., None, None]
    S = skew(v)
    half = np.sinc(a / (2 * np.pi))
    return np.eye(3) + np.sinc(a / np.pi) * S + 0.5 * half**2 * (S @ S)
