"""A thin-walled section solved by finite elements along its mid-lines: a second way to the same 6 x 6.

Straight plate strips (Kirchhoff) with the warping in all three directions and the turn of the wall
unknown at nodes: axial and tangential displacement linear, normal displacement cubic. The central solutions
after Giavotto et al. (1983): warping constant along the span under (N, T, M2, M3), linear under (V2, V3).
No closed form of the field along a wall, no shear flow and no hoop moment is assumed anywhere.
"""

import numpy as np
import scipy.sparse as sp
from scipy.sparse.linalg import splu


def strip_compliance(joints, walls, abd, pieces):
    """Compliance (6, 6) of straight walls between joints, each cut into `pieces` strips."""
    joints, walls = np.asarray(joints, dtype=float), np.asarray(walls)
    nodes = list(joints)
    lines = []
    for a, b in walls:
        inner = [joints[a] + (joints[b] - joints[a]) * k / pieces for k in range(1, pieces)]
        chain = [a, *range(len(nodes), len(nodes) + pieces - 1), b]
        nodes += inner
        lines += [(chain[k], chain[k + 1]) for k in range(pieces)]
    X = np.array(nodes)
    n = 4 * len(X)
    big = {k: sp.lil_matrix((n, n)) for k in "ECM"}
    R, L, A = np.zeros((n, 6)), np.zeros((n, 6)), np.zeros((6, 6))
    BK, SK, ZK, KK = np.zeros((n, 6)), np.zeros((n, 6)), np.zeros((6, 6)), np.zeros((6, 6))
    gauss = np.polynomial.legendre.leggauss(4)
    for index, (i, j) in enumerate(lines):
        law = abd[index // pieces]
        run = X[j] - X[i]
        h = np.hypot(*run)
        t = run / h
        normal = np.array([-t[1], t[0]])
        turn = np.zeros((8, 8))
        for k in (0, 4):
            turn[k, k] = turn[k + 3, k + 3] = 1.0
            turn[k + 1, k + 1 : k + 3], turn[k + 2, k + 1 : k + 3] = t, normal
        dof = np.concatenate([4 * i + np.arange(4), 4 * j + np.arange(4)])
        e, c, m = np.zeros((8, 8)), np.zeros((8, 8)), np.zeros((8, 8))
        for x, weight in zip(*gauss, strict=True):
            s, w = 0.5 * (1 + x), 0.5 * h * weight
            line, slope = np.array([1 - s, s]), np.array([-1.0, 1.0]) / h
            dcube = np.array(
                [-6 * s + 6 * s**2, h * (1 - 4 * s + 3 * s**2), 6 * s - 6 * s**2, h * (-2 * s + 3 * s**2)]
            )
            ddcube = np.array([-6 + 12 * s, h * (-4 + 6 * s), 6 - 12 * s, h * (-2 + 6 * s)])
            B, S, Z = np.zeros((6, 8)), np.zeros((6, 8)), np.zeros((6, 6))
            B[1, [1, 5]], B[2, [0, 4]], B[4, [2, 3, 6, 7]] = slope, slope, -ddcube / h**2
            S[0, [0, 4]], S[2, [1, 5]], S[5, [2, 3, 6, 7]] = line, line, -2 * dcube / h
            y = X[i] + s * run
            Z[0, [0, 4, 5]] = 1.0, y[1], -y[0]
            Z[2, [1, 2, 3]] = t[0], t[1], y[0] * t[1] - y[1] * t[0]
            Z[3, [4, 5]] = t
            Z[5, 3] = -2.0
            B, S = B @ turn, S @ turn
            e += w * B.T @ law @ B
            c += w * B.T @ law @ S
            m += w * S.T @ law @ S
            R[dof] += w * B.T @ law @ Z
            L[dof] += w * S.T @ law @ Z
            A += w * Z.T @ law @ Z
            # Section strains that grow along the span bend a wall: kx = -(gamma . n + kappa1 r . t)'.
            K = np.zeros((6, 6))
            K[3, 1:4] = *-normal, -y @ t
            BK[dof] += w * B.T @ law @ K
            SK[dof] += w * S.T @ law @ K
            ZK += w * Z.T @ law @ K
            KK += w * K.T @ law @ K
        for key, part in (("E", e), ("C", c), ("M", m)):
            big[key][np.ix_(dof, dof)] += part
    E, C, M = (big[k].tocsr() for k in "ECM")
    rigid = np.zeros((n, 6))
    rigid[0::4, 0] = rigid[1::4, 1] = rigid[2::4, 2] = 1.0
    rigid[1::4, 3], rigid[2::4, 3], rigid[3::4, 3] = -X[:, 1], X[:, 0], 1.0
    rigid[0::4, 4], rigid[0::4, 5] = X[:, 1], -X[:, 0]
    size = E.diagonal().mean()
    # With shear strains among the six, warping that is rigid or linear in y has no meaning of its own.
    whole = sp.bmat([[E, R, size * rigid], [R.T, A, None], [size * rigid.T, None, None]]).tocsc()
    lu = splu(whole)

    def solve(load, forces):
        rhs = np.vstack([load, forces, np.zeros((6, 6))])
        x = lu.solve(rhs)
        x += lu.solve(rhs - whole @ x)
        return x[:n], x[n : n + 6]

    grows = np.zeros((6, 6))
    grows[4, 2], grows[5, 1] = 1.0, -1.0
    g1, p1 = solve(np.zeros((n, 6)), grows)
    g0, p0 = solve((C.T - C) @ g1 + (L - BK) @ p1, np.eye(6) - L.T @ g1 - ZK @ p1 + BK.T @ g1 + ZK.T @ p1)
    half = 0.5 * (g0.T @ (E @ g0) + g1.T @ (M @ g1) + p0.T @ A @ p0 + p1.T @ KK @ p1)
    half = half + g0.T @ (C @ g1) + g0.T @ (R @ p0) + g1.T @ (L @ p0)
    half = half + g0.T @ BK @ p1 + g1.T @ SK @ p1 + p0.T @ ZK @ p1
    return half + half.T
