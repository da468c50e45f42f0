r"""The two states of transverse force: shear flow by equilibrium, and what the growth of the moment adds.

Under a transverse force the moment grows along the span, dM2/dx = V3 and dM3/dx = -V2. So every field of the states
of M2 and M3 grows along the span (suffix D, per unit force). At a section where the moment is zero that leaves

    flows:    dq/ds = -Nx_D,   dF/ds = -q_D t,   dM0/ds = -q_D (r x t) + 2 Mxy_D
    strains:  ex0 = w_D,   kx0 = -kappa1_D (r . t),   kxs0 = -2 omega_D,   and u_D . t in the closure of gxy
    torque:   \oint Mx_D (r . t) ds, from the shear of the walls across their thickness

with the warping dw/ds = gxy - kappa1 (r x t), the turn d omega/ds = -ky and the displacement
du/ds = ey t + omega n of the walls in those states. The first line is the balance of a strip between two sections.
The second is compatibility: a section that warps in proportion to the moment stretches along the span where the
moment grows, and a wall off the axis bends where the twist grows. A solution of the equations of `states` is added:
it removes every resultant but the force and closes the walls.

Textbook shear flow omits u_D. The two agree where the section is symmetric about the plane of the force. In cells of
unlike shape Poisson's contraction makes a difference of a few percent.

The displacement itself is not needed: its integral along a closed path is, by parts, minus that of r . du.
"""

import numpy as np

from beam.section.topology import Topology
from beam.section.wall_equations import Measure, fields_of, gather, project
from materials.checks import Array


def _running(field: Array, start: Array) -> Array:
    """Integral along each wall, (..., wall, 10, column), of fields on the first five place functions."""
    lead = np.broadcast_shapes(field.shape[:-2], start.shape[:-1])
    out = np.zeros((*lead, 10, field.shape[-1]))
    out[..., 0, :] = -(start[..., None, :] @ field[..., 3:, :])[..., 0, :]
    out[..., 1:3, :] = field[..., 3:, :]
    out[..., 5:8, :] = field[..., :3, :]
    return out


def flexure(direct: Array, law: Array, graph: Topology, place: Measure) -> tuple[Array, Array]:
    """Particular fields of unit V2 and V3, (..., wall, 6, 10, 2), and their work on the unknowns of the section.

    `direct`, (..., wall, 8, 4), holds strains and flows of each wall for unit (N, T, M2, M3).
    """
    # dM3/dx = -V2 and dM2/dx = V3: minus the state of M3, and the state of M2.
    growing = direct[..., [3, 2]] * np.array([-1.0, 1.0])
    kappa1, q_D = growing[..., 1, :], growing[..., 4, :]
    known = fields_of(growing).reshape(*growing.shape[:-2], 6, 10)
    given = (law @ known).reshape(*growing.shape[:-2], 6, 5, 2)
    along = {
        name: _running(sign * given[..., row, :, :], place.start)
        for name, row, sign in (("q", 0, -1.0), ("M0", 2, 2.0), ("w", 4, -1.0), ("turn", 5, 1.0))
    }
    # Growth along the walls and the connectors, which transfer q and turn with the wall.
    swept = place.swept[..., None]
    along["M0"][..., 8, :] -= q_D
    along["w"][..., 8, :] -= kappa1
    growth = {name: (place.last[..., None, :] @ f)[..., 0, :] for name, f in along.items()}
    ends = swept[..., 0, :] + swept[..., 2, :]
    growth["M0"] = growth["M0"] - q_D * ends
    growth["w"] = growth["w"] - kappa1 * ends
    pull = -q_D[..., None, :] * place.chord[..., :, None]

    # Where each wall starts: flows balance at the joints, potentials are single-valued there.
    start = {name: graph.flow_at_start @ growth[name] for name in ("q", "M0")}
    start |= {name: graph.potential_at_start @ growth[name] for name in ("w", "turn")}
    F = np.stack([graph.flow_at_start @ pull[..., i, :] for i in (0, 1)], axis=-2)
    F = F + q_D[..., None, :] * place.joint[..., :, None]
    for name, swept_by in (("q", 0.0), ("M0", q_D), ("w", kappa1), ("turn", 0.0)):
        along[name][..., 0, :] += start[name] - swept_by * swept[..., 0, :]

    field = np.zeros((*along["q"].shape[:-2], 6, 10, 2))
    field[..., 0, :, :] = along["w"]
    field[..., 1, 9, :] = -kappa1
    field[..., 2, :, :] = -2 * along["turn"]
    field[..., 3, 3:5, :] = F
    field[..., 3, 9, :] = -q_D
    field[..., 4, :, :] = along["q"]
    field[..., 5, :, :] = -along["M0"]
    field[..., 5, 1, :] += F[..., 1, :]
    field[..., 5, 2, :] -= F[..., 0, :]

    image = (law @ field.reshape(*field.shape[:-2], 20)).reshape(field.shape)
    work = project(image, place.moments[..., :5, :])
    # Torque of q and of the walls' shear; closure of u_D, by parts.
    work[..., 1, :] += _around(start["q"], growth["q"], -given[..., 0, :, :], place)
    work[..., 1, :] += (place.moments[..., 9:, :5] @ given[..., 1, :, :])[..., 0, :]
    work[..., 4, :] += _around(start["turn"], growth["turn"], given[..., 5, :, :], place)
    work[..., 4, :] += (place.moments[..., 9:, :5] @ given[..., 3, :, :])[..., 0, :]
    rows = gather(work, graph.cycles)
    return field, rows.sum(axis=-3)


def _around(first: Array, growth: Array, slope: Array, place: Measure) -> Array:
    """Integral of f (r x t) over a wall and its connectors, f given at the start and by its slope."""
    swept = place.swept[..., None]
    last = first + growth
    along = last * swept[..., 1, :] - (place.moments[..., 8:9, :5] @ slope)[..., 0, :]
    return first * swept[..., 0, :] + along + last * swept[..., 2, :]
