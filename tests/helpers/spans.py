"""Spans for tests, and an independent frame solver: prismatic two-node elements, assembled and solved."""

import numpy as np

from beam.strut import Span, Support

EA, GA, GJ, EI2, EI3 = 4e7, 1.2e7, 6e4, 9e4, 5e4
PLAIN = np.diag([EA, GA, 0.7 * GA, GJ, EI2, EI3])


def coupled():
    """Return a full section stiffness, every motion coupled with every other, positive definite."""
    rng = np.random.default_rng(7)
    root = np.sqrt(np.diag(PLAIN))
    A = rng.normal(size=(6, 6))
    q, _ = np.linalg.qr(A)
    unit = q @ np.diag([0.6, 0.8, 0.9, 1.1, 1.3, 1.5]) @ q.T
    return unit * root[:, None] * root


def slender(EI, *, stiff=1e12, GJ=GJ):
    """Return a section that only bends and twists."""
    return np.diag([stiff, stiff, stiff, GJ, EI, EI])


def tapered(length, ratio, power, EI=2e4, stiff=1e20):
    """Return s -> stiffness of a depth that falls evenly to `ratio` at the tip, EI with its `power`."""

    def stiffness(s):
        h = 1 - (1 - ratio) * s / length
        return np.diag([stiff, stiff, stiff, GJ * h**power, EI * h**power, EI * h**power])

    return stiffness


def element(length, K):
    """Return the 12 x 12 stiffness of a prismatic element along e1, from its exact flexibility."""
    C = np.linalg.inv(K)

    def force(x):
        """Section forces at x for unit loads (3 forces, 3 moments) at the outboard node."""
        out = np.eye(6)
        out[4, 2], out[5, 1] = -(length - x), length - x
        return out

    x, w = np.polynomial.legendre.leggauss(3)
    F = sum(
        wi * force(xi).T @ C @ force(xi) for xi, wi in zip((1 + x) * length / 2, w * length / 2, strict=True)
    )
    # Forces at the inboard node balance those at the outboard one.
    balance = np.vstack([-force(0.0), np.eye(6)])
    return balance @ np.linalg.inv(F) @ balance.T


def frame_solve(points, K, fixed, springs, loads, bars=()):
    """Solve a frame of prismatic elements between points.

    fixed: {node: dofs}, springs: {(node, dof): stiffness}, loads: {node: 6-vector}; bars: (node, point, EA),
    pinned at the node and at a fixed point. Returns displacements and what does not balance, (node, 6) each.
    """
    n = len(points)
    S = np.zeros((6 * n, 6 * n))
    span = Span(axis=points, stiffness=K, supports=[Support.clamp()])
    for i in range(n - 1):
        rows = span.axis.stretch_frames[i]
        T = np.kron(np.eye(4), rows)
        k = T.T @ element(np.linalg.norm(points[i + 1] - points[i]), K) @ T
        S[6 * i : 6 * i + 12, 6 * i : 6 * i + 12] += k
    for (node, dof), value in springs.items():
        S[6 * node + dof, 6 * node + dof] += value
    for node, anchor, axial in bars:
        d = anchor - points[node]
        long = np.linalg.norm(d)
        S[6 * node : 6 * node + 3, 6 * node : 6 * node + 3] += axial / long**3 * np.outer(d, d)
    f = np.zeros(6 * n)
    for node, load in loads.items():
        f[6 * node : 6 * node + 6] += load
    held = [6 * node + dof for node, dofs in fixed.items() for dof in dofs]
    free = np.setdiff1d(np.arange(6 * n), held)
    u = np.zeros(6 * n)
    u[free] = np.linalg.solve(S[np.ix_(free, free)], f[free])
    return u.reshape(n, 6), (S @ u - f).reshape(n, 6)
