"""A group of bolts that carries a force beside it and a moment: a bracket on a wall.

::

          y ^   o 3        o 4          force at the point (x, y, z), z above the wall: the group carries it with its
            |       c +                 moment about the centroid c, in the plane by shear, out of it by tension
            |   o 1        o 2
            +------------------> x      Fz > 0 pulls off the wall
"""

from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike

from beam.joints.bolted_plates import (
    WIDTH,
    InstalledBolt,
    LaminatePlate,
    MetalPlate,
    Work,
    bolt_checks,
    installation_checks,
    plate_checks,
    refuse_misfit,
    to_checks,
)
from beam.joints.bushing import SIZE
from beam.joints.joint_rows import (
    JointFactors,
    JointLoads,
    Judged,
    Line,
    given,
    judged_rows,
    line,
)
from beam.strength.check import Level
from beam.strength.requirement import Requirement
from materials.checks import Array, Frozen, Limits, Numbers, OptionalNumbers, Table, checked, default, reject


@checked
def prying_share(
    arm: Annotated[float, WIDTH],
    toe: Annotated[float, WIDTH],
    *,
    hole: Annotated[float, SIZE],
    pitch: Annotated[float, WIDTH],
) -> float:
    """Tension that a bending flange adds to its bolts, over the tension without it: the largest there can be.

    Parameters
    ----------
    arm : float
        From the bolt to the face of the web that pulls [m].
    toe : float
        From the bolt to the edge of the flange beyond; more than 1.25 arms do not count [m].
    hole : float
        Diameter of the hole [m].
    pitch : float
        Of the bolts along the flange [m].

    Returns
    -------
    float
        Prying force over tension [-].

    Notes
    -----
    T arm = M1 + M2, Q toe = M2 at the bolts, M2 <= M1 (1 - hole / pitch): Q / T = arm / toe x d / (1 + d) with
    d = 1 - hole / pitch. A stiffer flange pries less. Equilibrium; the limit of 1.25 arms is from memory (AISC).

    Examples
    --------
    >>> round(prying_share(20e-3, 20e-3, hole=6e-3, pitch=30e-3), 4)
    0.4444
    """
    if pitch <= hole:
        reject("prying_share: pitch [m]", f"{pitch:g}", f"> hole = {hole:g}")
    net = 1 - hole / pitch
    return arm / min(toe, 1.25 * arm) * net / (1 + net)


class BoltGroup(Frozen, eq=True):
    """Bolts of a bracket on a wall.

    Parameters
    ----------
    name : str
        Of the joint, in the margin table.
    positions : array_like, shape (bolt, 2)
        Of the bolts in the plane of the wall [m].
    bolt : InstalledBolt
        One for all, in single shear.
    wall : LaminatePlate or MetalPlate
        What the bracket stands on.
    bracket : LaminatePlate or MetalPlate
        Its foot.
    point : array_like, shape (3,)
        Where force and moment of the loads act; z above the faying face [m].
    weights : array_like, shape (bolt,), optional
        Stiffness of each bolt over that of the first; equal ones by default [-].
    prying : float, optional
        Prying force over bolt tension, as `prying_share` has it; 0 for a thick foot. Needed once a bolt is pulled [-].
    prying_basis : str, optional
        Where it comes from.
    foot : array_like, shape (4,), optional
        x from, x to, y from, y to of a rigid foot on a rigid wall: moments turn it about its edge. Without it about the
        centroid of the bolts, as on a thin laminate, with larger bolt tension [m].
    factors : JointFactors
        Factors of Part 23 on the loads of the joint.
    station : float
        Of the joint on the strut [m].

    Raises
    ------
    ValueError
        If bolts stand closer than 2 diameters, a bolt stands outside the foot, a bolt does not fit its holes, prying
        has no basis, or the bolts are in double shear.

    Notes
    -----
    Centroid c of the weights k, M about it: shear f_i = k_i [F / sum k + (M / J) (-(y_i - c_y), x_i - c_x)],
    J = sum k |r_i - c|^2. Tension t_i = k_i [Fz / sum k + a x_i + b y_i], a and b by equilibrium with the moments; on a
    rigid foot t_i = M y_i / sum y_i^2 from the edge that stays down, for both axes together. Plates are rigid in their
    plane; bending of the foot itself is not checked.

    References
    ----------
    V. B. Bhandari, Design of Machine Elements, examples 7.4 and 8.27 (printed answers).

    Examples
    --------
    >>> from beam.joints import MetalPlate, fastener
    >>> from materials import metal
    >>> plate = MetalPlate(name="foot", metal=metal("2024-T3 sheet"), thickness=4e-3, width=30e-3, edge=15e-3,
    ...                    hole=6e-3)
    >>> group = BoltGroup(name="bracket", positions=[[0, 0], [0, 0.075], [0, 0.15]], wall=plate, bracket=plate,
    ...                   bolt=InstalledBolt(fastener=fastener("M6 8.8")), point=[0.305, 0.075, 0])
    >>> shear, tension = group.bolt_loads([[0, -5000.0, 0]], [[0, 0, 0]])
    >>> abs(shear[0]).round(1).tolist()
    [[10166.7, 1666.7], [0.0, 1666.7], [10166.7, 1666.7]]
    """

    name: str
    positions: Annotated[Numbers, Limits("m", shape=(-1, 2))]
    bolt: InstalledBolt
    wall: MetalPlate | LaminatePlate
    bracket: MetalPlate | LaminatePlate
    point: Annotated[Numbers, Limits("m", shape=(3,))]
    weights: Annotated[OptionalNumbers, Limits("-", above=0.0, shape=(-1,))] = default(None)
    prying: Annotated[float | None, Limits("-", at_least=0.0, at_most=2.0)] = None
    prying_basis: str | None = None
    foot: Annotated[OptionalNumbers, Limits("m", shape=(4,))] = default(None)
    factors: JointFactors = default(JointFactors())
    station: Annotated[float, Limits("m", at_least=0.0)] = 0.0

    def __post_init__(self) -> None:
        super().__post_init__()
        owner, r, d = f"BoltGroup '{self.name}'", self.positions, self.bolt.fastener.diameter
        count = len(r)
        apart = np.linalg.norm(r[:, None] - r[None], axis=-1) + np.eye(count)
        if apart.min(initial=1.0) < 2 * d * (1 - 1e-9):
            reject(f"{owner}: least pitch [m]", f"{apart.min():g}", f">= 2 diameters = {2 * d:g}")
        if self.weights is not None and self.weights.shape != (count,):
            reject(f"{owner}: weights", f"shape {self.weights.shape}", f"({count},)")
        if self.bolt.planes != 1:
            reject(f"{owner}: planes of the bolt", "2", "1", "a bracket stands on one face")
        if (self.prying is None) != (self.prying_basis is None):
            reject(f"{owner}: prying, prying_basis", "one of both", "given together")
        if self.foot is not None:
            low, high = self.foot[[0, 2]], self.foot[[1, 3]]
            if (low >= high).any() or (r < low - 1e-12).any() or (r > high + 1e-12).any():
                reject(f"{owner}: foot [m]", self.foot.tolist(), "from < to, around all bolts")
        for plate in (self.wall, self.bracket):
            refuse_misfit(self.bolt, owner, plate)
            if len(plate.holes) > 1:
                reject(
                    f"{owner}: holes of '{plate.name}'", f"{len(plate.holes)}", "1, for all bolts", "of rows?"
                )

    @property
    def centroid(self) -> Array:
        """Of the bolts by weight, (2,) [m]."""
        return np.average(self.positions, axis=0, weights=self.weights)

    @checked
    def bolt_loads(
        self,
        force: Annotated[ArrayLike, Limits("N", last=(3,))],
        moment: Annotated[ArrayLike, Limits("N m", last=(3,))],
    ) -> tuple[Array, Array]:
        """Shear and tension of each bolt, without prying.

        Parameters
        ----------
        force : array_like, shape (..., 3)
            On the bracket at its point [N].
        moment : array_like, shape (..., 3)
            Besides it [N m].

        Returns
        -------
        tuple of ndarray
            Force that the load puts on each bolt in the plane (..., bolt, 2), and tension (..., bolt); what is negative
            the foot presses on the wall [N].
        """
        F, count = np.asarray(force), len(self.positions)
        k = np.ones(count) if self.weights is None else self.weights
        c = self.centroid
        lever = self.point - np.array([*c, 0.0])
        M = np.asarray(moment) + np.cross(lever, F)
        from_c = self.positions - c
        J = k @ (from_c**2).sum(axis=1)
        around = np.stack([-from_c[:, 1], from_c[:, 0]], axis=-1)
        turning = (M[..., 2] / J if J > 0.0 else self._no_arm(M[..., 2]))[..., None, None]
        shear = k[:, None] * (F[..., None, :2] / k.sum() + turning * around)
        return shear, k * F[..., 2, None] / k.sum() + self._tension(k, from_c, M[..., :2])

    def _no_arm(self, moment: Array) -> Array:
        """No share of a moment that is zero; refuse one that one bolt cannot carry."""
        if abs(moment).max(initial=0.0) > 0.0:
            cause = "bolts on one spot or line hold no moment about it: move the load or add bolts"
            what = f"BoltGroup '{self.name}': moment about the bolts [N m]"
            reject(what, f"{abs(moment).max():g}", "0", cause)
        return np.zeros_like(moment)

    def _tension(self, k: Array, from_c: Array, moment: Array) -> Array:
        """Tension (..., bolt) of each bolt by the moments (..., 2) about x and y of the centroid [N]."""
        if self.foot is None:
            pull = np.stack([from_c[:, 1], -from_c[:, 0]], axis=-1)  # moment about x pulls where y > 0
            inertia = np.einsum("b,bi,bj->ij", k, pull, pull)
            lost = moment - moment @ np.linalg.pinv(inertia, rcond=1e-10) @ inertia
            scale = 1e-9 * abs(moment).max(initial=0.0)
            self._no_arm(np.where(abs(lost) > scale, lost, 0.0))
            return k * (moment @ np.linalg.pinv(inertia, rcond=1e-10) @ pull.T)
        x, y = (self.positions).T
        x0, x1, y0, y1 = self.foot
        out = np.zeros((*moment.shape[:-1], len(k)))
        for about, arms in ((moment[..., 0], (y - y0, y1 - y)), (-moment[..., 1], (x - x0, x1 - x))):
            for size, arm in zip((np.maximum(about, 0.0), np.maximum(-about, 0.0)), arms, strict=True):
                total = k @ arm**2
                out = out + (size / total if total > 0.0 else self._no_arm(size))[..., None] * k * arm
        return out

    @checked
    def margins(
        self, loads: JointLoads, requirement: Requirement, bypass: Annotated[ArrayLike, Limits("N")] = 0.0
    ) -> Table:
        """Margins of every bolt and its holes.

        Parameters
        ----------
        loads : JointLoads
            Force and moment at the point, in the axes of the group.
        requirement : Requirement
            Factors.
        bypass : array_like, shape (case,) or (case, bolt)
            Load of the wall past each hole on the width of its strip, tension positive [N].

        Returns
        -------
        DataFrame
            Rows of the margin table.

        Raises
        ------
        ValueError
            If a bolt is pulled and no prying is given.
        """
        return judged_rows(self._judged(loads, requirement, bypass), requirement)

    def _judged(self, loads: JointLoads, requirement: Requirement, bypass: ArrayLike = 0.0) -> list[Judged]:
        """Checks of every bolt and its holes, each with its lines; a bypass [N] as for `margins`."""
        shear, tension = self.bolt_loads(loads.force, loads.moment)
        past, (cases, bolts) = np.asarray(bypass, dtype=float), tension.shape
        if past.shape not in ((), (cases,), (cases, bolts)):
            limit = f"({cases},) or ({cases}, {bolts}): cases, or cases and bolts"
            reject(f"BoltGroup '{self.name}': bypass [N]", f"shape {past.shape}", limit)
        past = np.broadcast_to(past[..., None] if past.ndim == 1 else past, tension.shape)
        pull = np.maximum(tension, 0.0)
        pull = np.where(pull > 1e-9 * abs(shear).max(initial=0.0), pull, 0.0)
        if self.prying is None and (pull > 0.0).any():
            cause = "0 for a thick foot, else from prying_share, with its basis"
            reject(f"BoltGroup '{self.name}': prying", None, "given where bolts are pulled", cause)
        pull = pull * (1.0 + (self.prying or 0.0))
        pried = f"; prying {self.prying:g}: {self.prying_basis}" if self.prying is not None else ""
        axis = "about the centroid" if self.foot is None else "about the edge of a rigid foot"
        checks = installation_checks(self.bolt, (self.wall, self.bracket), len(loads.cases))
        levels: tuple[Level, ...] = ("ultimate", "limit")
        for i in range(len(self.positions)):
            only = slice(i, i + 1)
            passing = np.stack([past[:, only], np.zeros_like(past[:, only])], axis=-1)
            for level in levels:
                total = np.hypot(shear[:, only, 0], shear[:, only, 1])
                plates = (self.wall, self.bracket)
                found = bolt_checks(self.bolt, f"bolt {i + 1}", total, pull[:, only], plates, level)
                found = [one._replace(words=f"{one.words}; tension {axis}{pried}") for one in found]
                before = self._bolt_work(loads, i, shear, tension)
                checks += to_checks(found, 1.0, level, before=before)
                for plate, passes in ((self.wall, passing), (self.bracket, 0.0 * passing)):
                    part = f"{plate.name}, bolt {i + 1}"
                    holes = plate_checks(plate, 0, part, shear[:, only], passes, pull[:, only], level, True)
                    holes = [
                        one._replace(words=f"{one.words}; strengths the same in every service")
                        for one in holes
                    ]
                    of_plies = isinstance(plate, LaminatePlate)
                    checks += to_checks(holes, 1.0, level, laminate=of_plies, before=before)
        return [Judged(self.name, checks, loads, self.factors, self.station)]

    def _bolt_work(self, loads: JointLoads, bolt: int, shear: Array, tension: Array) -> Work:
        """Lines to the load of a bolt."""
        k = np.ones(len(self.positions)) if self.weights is None else self.weights
        (cx, cy), (x, y) = self.centroid, self.positions[bolt]
        J = k @ ((self.positions - self.centroid) ** 2).sum(axis=1)
        X, Y, _ = self.point

        def work(i: int, j: int) -> list[Line]:
            (F1, F2, _), M3 = loads.force[i], loads.moment[i, 2]
            turn = (M3 + (X - cx) * F2 - (Y - cy) * F1) / J if J > 0.0 else 0.0
            return [
                *given(
                    "m",
                    "point of the load, centroid of the bolts, this bolt",
                    X=X,
                    Y=Y,
                    cx=cx,
                    cy=cy,
                    x=x,
                    y=y,
                ),
                *given("-", "weight of this bolt and of all", kb=k[bolt], ks=k.sum()),
                *given("m2", "sum of weight x distance^2 from the centroid", J=J),
                line("turn", turn, "N/m", "(M3 + (X - cx) * F2 - (Y - cy) * F1) / J" if J > 0.0 else ""),
                line("b1", shear[i, bolt, 0], "N", "kb * (F1 / ks - turn * (y - cy))"),
                line("b2", shear[i, bolt, 1], "N", "kb * (F2 / ks + turn * (x - cx))"),
                *given("N", "by F3, M1, M2 over the pattern, without prying", pull=tension[i, bolt]),
            ]

        return work
