"""Cantilevers of bricks: 27-node solid elements through walls and span, no assumption of a beam anywhere.

The section's quadrilaterals are drawn out along e1. All slices are equal, so two of them joined and the face
between them eliminated make one twice as long: the solution of the whole mesh at the price of a few faces.
"""

import numpy as np
import skfem


def stiffness_tensor(constants, angle_deg, tangent):
    """Stiffness (3, 3, 3, 3) on (e1, e2, e3) of a ply in a wall whose tangent leans by `tangent` from e2 to e3."""
    pairs = [(0, 0), (1, 1), (2, 2), (1, 2), (0, 2), (0, 1)]
    young = constants.E1, constants.E2, constants.E3
    nu = {(0, 1): constants.nu12, (0, 2): constants.nu13, (1, 2): constants.nu23}
    S = np.diag([*(1 / E for E in young), 1 / constants.G23, 1 / constants.G13, 1 / constants.G12])
    for (i, j), ratio in nu.items():
        S[i, j] = S[j, i] = -ratio / young[i]
    C = np.zeros((3, 3, 3, 3))
    for (i, j), row in zip(pairs, np.linalg.inv(S), strict=True):
        for (k, m), value in zip(pairs, row, strict=True):
            C[i, j, k, m] = C[j, i, k, m] = C[i, j, m, k] = C[j, i, m, k] = value
    t = np.array([0.0, np.cos(tangent), np.sin(tangent)])
    e1 = np.array([1.0, 0.0, 0.0])
    fiber = np.cos(np.radians(angle_deg)) * e1 + np.sin(np.radians(angle_deg)) * t
    n = np.cross(e1, t)
    R = np.stack([fiber, np.cross(n, fiber), n])
    return np.einsum("ai,bj,ck,dm,abcd->ijkm", R, R, R, R, C)


def slice_stiffness(mesh, thickness):
    """Stiffness of a slice of straight walls between its two faces, three motions of every node of each."""
    nodes = len(mesh.points)
    corner = {(0, 0): 0, (1, 0): 1, (1, 1): 2, (0, 1): 3}
    solid = np.concatenate(
        [np.column_stack([np.full(nodes, x), mesh.points]) for x in (0, thickness / 2, thickness)]
    )
    t = np.stack(
        [mesh.elements[:, corner[a, b]] + 2 * nodes * c for a, b, c in skfem.refdom.RefHex.p.T.astype(int)]
    )
    used, t = np.unique(t, return_inverse=True)
    hexes = skfem.MeshHex(np.ascontiguousarray(solid[used].T), t.reshape(8, -1))
    basis = skfem.Basis(hexes, skfem.ElementHex2(), intorder=5)
    gap = np.abs(basis.doflocs.T[:, None] - solid[None]).max(axis=-1)
    number = gap.argmin(axis=1)
    assert gap.min(axis=1).max() < 1e-9 * thickness
    assert len(np.unique(number)) == 3 * nodes
    g = np.stack([basis.basis[i][0].grad for i in range(27)])
    C = np.stack(
        [
            stiffness_tensor(mesh.constants[m], angle, lean[8])
            for m, angle, lean in zip(mesh.material, mesh.angle_deg, mesh.tangent, strict=True)
        ]
    )
    flow = np.einsum("eijkm,bmeq->eijkbq", C, g)
    K = np.einsum("ajeq,eijkbq->eaibk", g * basis.dx, flow, optimize=True).reshape(len(C), 81, 81)
    place = (3 * number[basis.element_dofs.T][..., None] + np.arange(3)).reshape(len(C), 81)
    whole = np.zeros((9 * nodes, 9 * nodes))
    np.add.at(whole, (place[:, :, None], place[:, None, :]), K)
    outer, inner = np.r_[: 3 * nodes, 6 * nodes : 9 * nodes], np.r_[3 * nodes : 6 * nodes]
    return whole[np.ix_(outer, outer)] - whole[np.ix_(outer, inner)] @ np.linalg.solve(
        whole[np.ix_(inner, inner)], whole[np.ix_(inner, outer)]
    )


def doubled(K):
    """Stiffness of two equal pieces in a row between their far faces."""
    m = len(K) // 2
    shared = K[m:, m:] + K[:m, :m]
    across = np.linalg.solve(shared, np.concatenate([K[m:, :m], K[:m, m:]], axis=1))
    out = np.zeros_like(K)
    out[:m, :m], out[m:, m:] = K[:m, :m], K[m:, m:]
    out[:m] -= K[:m, m:] @ across
    out[m:] -= K[m:, :m] @ across
    return out


def tip_flexibility(mesh, thickness, doublings):
    """Motions (length, 6, 6) of the tip under six unit forces there, for 2^d slices, d in `doublings`, in order.

    The root face is fixed at every node; the tip face is rigid, as an end fitting is, and so has one motion.
    """
    y2, y3 = mesh.points.T
    rigid = np.zeros((len(mesh.points), 3, 6))
    rigid[:, 0, 0] = rigid[:, 1, 1] = rigid[:, 2, 2] = 1.0
    rigid[:, 0, 4], rigid[:, 0, 5] = y3, -y2
    rigid[:, 1, 3], rigid[:, 2, 3] = -y3, y2
    rigid = rigid.reshape(-1, 6)
    K, out = slice_stiffness(mesh, thickness), []
    for d in range(max(doublings) + 1):
        if d in doublings:
            out.append(np.linalg.inv(rigid.T @ K[-len(rigid) :, -len(rigid) :] @ rigid))
        K = doubled(K)
    return np.stack(out)
