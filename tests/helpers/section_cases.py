"""Walls, sections and statics shared by the tests of thin-walled sections."""

import numpy as np

from beam.section import network, rounded_box
from beam.section.outline import round_tube
from laminate import Laminate
from materials import Lamina, Source

SOURCE = Source("test material, no source")
CODES = (
    "[0/45/90/30]",
    "[15/-20/60]2",
    "[0/30/-45]s",
    "[45/-45/0]2",
    "[20]8",
    "[0/90]2",
    "[30/30/0]3",
    "[10/50/-30]2",
)
"""Walls of all kinds: symmetric and not, balanced and not, of eight thicknesses between 4 and 12 plies."""


def carbon(ply=0.125e-3):
    """T300/5208 of Tsai & Hahn (1980)."""
    return Lamina(
        name="T300/5208",
        kind="tape",
        E1=181e9,
        E2=10.3e9,
        G12=7.17e9,
        nu12=0.28,
        thickness=ply,
        density=1600.0,
        alpha1=0.02e-6,
        alpha2=22.5e-6,
        beta2=0.6,
        source=SOURCE,
    )


def mixed_walls(count=8):
    """`count` different laminates."""
    return [Laminate.from_code(code, carbon()) for code in CODES[:count]]


def metal(t, E=70e9, nu=0.3, density=2700.0):
    """One isotropic ply."""
    lamina = Lamina(
        name="metal",
        kind="fabric",
        E1=E,
        E2=E,
        G12=E / (2 * (1 + nu)),
        nu12=nu,
        thickness=t,
        density=density,
        source=SOURCE,
    )
    return Laminate.from_code("[0]", lamina)


def stiffness_of(laminates):
    """ABD of the walls, (wall, 6, 6)."""
    return np.stack([laminate.abd for laminate in laminates])


def membrane(abd, share=1e-8):
    """The same walls with hardly any bending stiffness and no coupling to it: membrane walls."""
    out = np.array(abd)
    out[..., :3, 3:] = out[..., 3:, :3] = 0.0
    out[..., 3:, 3:] *= share
    return out


def outlines():
    """Contours of every kind, each with eight walls or fewer."""
    return {
        "tube": round_tube(0.05),
        "rounded box, tool side": rounded_box(0.08, 0.05, 0.012, [w.thickness for w in mixed_walls()]),
        "off its axis": network(
            [[0.03, 0.09], [0.1, 0.08], [0.11, 0.03], [0.02, 0.02]], [[0, 1], [1, 2], [2, 3], [3, 0]]
        ),
        "two cells and a flange": network(
            [
                [-0.04, 0.025],
                [0.03, 0.03],
                [0.04, -0.02],
                [-0.03, -0.025],
                [0.01, 0.028],
                [0.012, -0.022],
                [0.06, 0.04],
            ],
            [[0, 4], [4, 1], [1, 2], [2, 5], [5, 3], [3, 0], [4, 5], [1, 6]],
            turn=[0.0, 0.0, -0.6, 0.0, 0.3, -2.5, 0.2, 0.0],
        ),
        "two cells off their joints": network(
            [[0.0, 0.05], [0.05, 0.05], [0.1, 0.05], [0.1, 0.0], [0.05, 0.0], [0.0, 0.0]],
            [[0, 1], [1, 2], [2, 3], [3, 4], [4, 5], [5, 0], [1, 4]],
            turn=[0.0, 0.0, -1.0, 0.0, 0.0, 0.0, 0.3],
        ).offset([-0.5e-3, 0.25e-3, -1e-3, 0.5e-3, 0.0, -0.35e-3, 0.2e-3]),
        "open channel": network(
            [[0.04, 0.04], [0.0, 0.04], [0.0, -0.04], [0.05, -0.03]],
            [[0, 1], [1, 2], [2, 3]],
            turn=[0.0, 0.4, 0.0],
        ),
    }


def cross(a, b):
    """Component on e1 of a x b."""
    return a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0]


GROWTH = np.zeros((6, 6))
"""Growth of the section forces along the span per unit of each: dM2/dx = V3, dM3/dx = -V2."""
GROWTH[4, 2], GROWTH[5, 1] = 1.0, -1.0


def resultants(states, loads=None):
    """Section forces (6, column) of wall loads, by quadrature around the section and over the connectors.

    `loads(at)` gives (wall, place, 6, column); left out, the wall loads of the six unit forces. The wall
    carries shear across its thickness where Mx grows along the span.
    """
    c, graph = states.contour, states.contour.topology
    loads = states.recovery if loads is None else loads
    x, weight = np.polynomial.legendre.leggauss(24)
    at = 0.5 * (1 + x)
    ds = (0.5 * weight * c.length[:, None])[..., None]
    r, t, n = (f(at)[..., None] for f in (c.position, c.tangent, c.normal))
    Nx, _, q, Mx, _, Mxy = np.moveaxis(loads(at), -2, 0)
    Q = Mx @ GROWTH if Mx.shape[-1] == 6 else 0.0 * Mx
    out = np.zeros((6, Nx.shape[-1]))
    out[0] = (Nx * ds).sum(axis=(0, 1))
    for k in (0, 1):
        out[1 + k] = ((q * t[:, :, k] + Q * n[:, :, k]) * ds).sum(axis=(0, 1))
    around = cross(np.moveaxis(r, -1, 0)[0], np.moveaxis(t, -1, 0)[0])[..., None]
    across = cross(np.moveaxis(r, -1, 0)[0], np.moveaxis(n, -1, 0)[0])[..., None]
    out[3] = ((q * around - 2 * Mxy + Q * across) * ds).sum(axis=(0, 1))
    out[4] = ((Nx * r[:, :, 1] + Mx * n[:, :, 1]) * ds).sum(axis=(0, 1))
    out[5] = -((Nx * r[:, :, 0] + Mx * n[:, :, 0]) * ds).sum(axis=(0, 1))
    a, b = graph.starts.T @ c.joints, graph.finishes.T @ c.joints
    for place, first, last in ((0.0, a, c.start), (1.0, c.finish, b)):
        flow = loads(np.array([place]))[:, 0, 2]
        out[1:3] += (last - first).T @ flow
        out[3] += cross(first, last) @ flow
    return out
