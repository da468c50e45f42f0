"""The ring of a section as a plane frame of straight beams, solved by the direct stiffness method: a second way."""

import numpy as np
from section_cases import cross

GAUSS, WEIGHT = np.polynomial.legendre.leggauss(4)
U, W = 0.5 * (1 + GAUSS), 0.5 * WEIGHT


def ring_load(states, F, at):
    """Force per length (wall, place, 2) and couple on the ring, and growth of Nxy at the walls' ends.

    Written for one load, from the balance of a curved rod: V' = -(kappa x (N, V)) and so on, twice that for twist.
    """
    c = states.contour
    kappa1, kappa2, kappa3 = (states.compliance @ F)[3:]
    x, weight = np.polynomial.legendre.leggauss(30)

    def pressure(u):
        Nx, q = np.moveaxis((states.recovery(u) @ F)[..., [0, 2]], -1, 0)
        return Nx[..., None] * np.array([kappa3, -kappa2]) + 2 * kappa1 * q[..., None] * c.normal(u)

    u = 0.5 * (1 + x)
    ds = 0.5 * weight * c.length[:, None]
    P = (pressure(u) * ds[..., None]).sum(axis=(0, 1))
    turning = (cross(c.position(u), pressure(u)) * ds).sum()
    grows = np.array([0.0, -P[0], -P[1], -turning, 0.0, 0.0])
    moments_grow = np.array([0.0, 0.0, 0.0, 0.0, grows[2], -grows[1]])
    loads = states.recovery(at)
    along, across = loads @ grows, loads @ moments_grow
    force = pressure(at) + along[..., 2:3] * c.tangent(at) + across[..., 3:4] * c.normal(at)
    return force, -2 * along[..., 5], states.recovery([0.0, 1.0])[..., 2, :] @ grows


def frame(states, F, EA, EI, elements=24):
    """Ny and My at the ends of the elements, (wall, elements + 1, 2), and the largest reaction on the fixed joint."""
    c = states.contour
    walls, joints = len(c.names), c.joints
    ends = np.linspace(0, 1, elements + 1)
    at = (ends[:-1, None] + U * np.diff(ends)[:, None]).ravel()
    force, couple, growth = ring_load(states, F, at)
    force, couple = force.reshape(walls, elements, 4, 2), couple.reshape(walls, elements, 4)
    first = len(joints)
    size = 3 * (first + walls * (elements + 1))
    K, f = np.zeros((size, size)), np.zeros(size)
    pieces = []
    for w in range(walls):
        points = c.position(ends)[w]
        for e in range(elements):
            a, b = points[e], points[e + 1]
            h = np.linalg.norm(b - a)
            t = (b - a) / h
            T = np.zeros((6, 6))
            for k in (0, 3):
                T[k, k : k + 2], T[k + 1, k : k + 2], T[k + 2, k + 2] = t, (-t[1], t[0]), 1.0
            stiff = np.zeros((6, 6))
            stiff[np.ix_([0, 3], [0, 3])] = EA[w] / h * np.array([[1, -1], [-1, 1]])
            stiff[np.ix_([1, 2, 4, 5], [1, 2, 4, 5])] = EI[w] / h**3 * np.array(
                [[12, 6 * h, -12, 6 * h], [6 * h, 4 * h * h, -6 * h, 2 * h * h],
                 [-12, -6 * h, 12, -6 * h], [6 * h, 2 * h * h, -6 * h, 4 * h * h]])  # fmt: skip
            shape = np.zeros((4, 3, 6))
            shape[:, 0, 0], shape[:, 0, 3] = 1 - U, U
            shape[:, 1, 1], shape[:, 1, 2] = 1 - 3 * U**2 + 2 * U**3, h * U * (1 - U) ** 2
            shape[:, 1, 4], shape[:, 1, 5] = 3 * U**2 - 2 * U**3, h * U**2 * (U - 1)
            shape[:, 2, 1], shape[:, 2, 4] = -6 * U * (1 - U) / h, 6 * U * (1 - U) / h
            shape[:, 2, 2], shape[:, 2, 5] = 1 - 4 * U + 3 * U**2, 3 * U**2 - 2 * U
            ds = W * c.length[w] / elements
            turned = np.concatenate([force[w, e] @ T[:2, :2].T, couple[w, e][:, None]], axis=1)
            equivalent = np.einsum("g,gi,gij->j", ds, turned, shape)
            dofs = 3 * (first + w * (elements + 1) + e) + np.arange(6)
            K[np.ix_(dofs, dofs)] += T.T @ stiff @ T
            f[dofs] += T.T @ equivalent
            pieces.append((dofs, T, stiff, equivalent))
    # Rigid arms connect the walls to their joints; the growth of the shear flow acts along them.
    tie = np.eye(size)
    for w in range(walls):
        for side, node in ((0, w * (elements + 1)), (1, w * (elements + 1) + elements)):
            joint, own = c.ends[w, side], 3 * (first + node)
            arm = c.position(float(side))[w] - joints[joint]
            tie[own : own + 3] = 0.0
            tie[own : own + 3, 3 * joint : 3 * joint + 3] = [[1, 0, -arm[1]], [0, 1, arm[0]], [0, 0, 1]]
            pull = growth[w, side] * arm * (1 if side == 0 else -1)
            f[3 * joint : 3 * joint + 2] += pull
    kept = np.flatnonzero(np.abs(tie).sum(axis=0))
    tie = tie[:, kept]
    Kr, fr = tie.T @ K @ tie, tie.T @ f
    u = np.zeros(len(kept))
    u[3:] = np.linalg.solve(Kr[3:, 3:], fr[3:])
    reaction = np.abs((Kr @ u - fr)[:3]).max()
    u = tie @ u
    out = np.zeros((walls, elements + 1, 2))
    for i, (dofs, T, stiff, equivalent) in enumerate(pieces):
        w, e = divmod(i, elements)
        end = stiff @ T @ u[dofs] - equivalent
        # A moment My > 0 stretches the outer side, on the left of the tangent: clockwise on the far end.
        out[w, e] = -end[0], end[2]
        out[w, e + 1] = end[3], -end[5]
    return out, reaction
