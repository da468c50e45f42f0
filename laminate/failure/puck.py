"""Puck in plane stress: fiber failure, and inter-fiber failure in the modes A, B and C.

::

      abs(t12)
         |    C    .-------.  B
         |     .-'          '-.         A: s2 >= 0, open crack normal to the ply
         |   .'     crack       '.      B: the same crack, closed by compression
         |  /     t12c--+   S--+  '.    C: crack inclined through the thickness
         +--+-----------+------+---+---
           -Yc         -RA     0   Yt   s2
"""

from math import sqrt
from typing import Annotated, ClassVar

import numpy as np

from laminate.failure.criterion import Criterion, Residual, State, read_states
from laminate.failure.modes import Mode
from laminate.failure.surface import Surface
from materials.allowables import Allowables
from materials.checks import Array, Limits, checked, reject
from materials.lamina import Kind


class Puck(Criterion, eq=True):
    """Puck criterion in plane stress, for unidirectional plies.

    Parameters
    ----------
    inclination_tension, inclination_compression : float
        Slopes of the fracture curve t12(s2) at s2 = 0 on its two sides. Recommended are 0.35 and 0.30 for
        carbon, 0.30 and 0.25 for glass [-].
    fiber_coupling : float
        Share of s2 taken off s1 in the fiber modes, nu12 - nu12f m E1/E1f with fiber values f and
        magnification m = 1.1 (carbon) or 1.3 (glass); 0 leaves s1 alone [-].
    fiber : bool
        Whether fiber failure is judged too. False leaves the inter-fiber modes A, B and C.

    Notes
    -----
    With p the inclination on the tension side (A) or compression side (B, C), pp = p RA/S and
    RA = S / (2 p) (sqrt(1 + 2 p Yc / S) - 1):

    A, s2 >= 0:         sqrt((t12/S)^2 + (1 - p Yt/S)^2 (s2/Yt)^2) + p s2/S = 1;
    B, -RA <= s2 <= 0:  sqrt((t12/S)^2 + (p s2/S)^2) + p s2/S = 1;
    C, s2 <= -RA:       ((t12/(2 (1 + pp) S))^2 + (s2/Yc)^2) Yc/(-s2) = 1.

    Cleared of the root and the fraction each is a quadratic, which gives R in closed form. The weakening
    of the matrix by high fiber stress is left out. B and C meet at s2 = -RA, t12 = S sqrt(1 + 2 pp); the border
    between them is taken at s2 = -RA, not on the ray through that point: the safe region is the same, and the mode
    is that of the arc on which the load path leaves it.

    References
    ----------
    A. Puck, H. Schürmann, Compos. Sci. Technol. 58 (1998) 1045-1067; inclinations: A. Puck, J. Kopp,
    M. Knops, Guidelines for the determination of the parameters in Puck's action plane strength
    criterion, Compos. Sci. Technol. 62 (2002) 371-378 (from memory).

    Examples
    --------
    >>> from laminate.failure import labels
    >>> from materials import lamina
    >>> a = lamina("T300/5208").allowables
    >>> labels(Puck().mode([[0.0, 20e6, 20e6], [0.0, -20e6, 60e6], [0.0, -200e6, 20e6]], a)).tolist()
    ['inter fiber a', 'inter fiber b', 'inter fiber c']
    """

    name: ClassVar[str] = "puck"
    title: ClassVar[str] = "Puck"
    suits: ClassVar[tuple[Kind, ...]] = ("tape",)

    inclination_tension: Annotated[float, Limits(at_least=0.0, below=1.0)] = 0.35
    inclination_compression: Annotated[float, Limits(above=0.0, below=1.0)] = 0.30
    fiber_coupling: Annotated[float, Limits(at_least=-1.0, at_most=1.0)] = 0.0
    fiber: bool = True

    def _surfaces(self, allowables: Allowables) -> tuple[Surface, ...]:
        a = allowables
        RA, p_across = action_plane(a, self.inclination_compression)
        pt, pc, k = self.inclination_tension, self.inclination_compression, self.fiber_coupling
        if pt * a.Yt > a.S:
            cause = "a woven ply? the criterion is for unidirectional ones"
            reject("puck: inclination_tension [-]", pt, f"<= S / Yt = {a.S / a.Yt:.3g}", cause)
        shear = (2, 2, 1 / a.S**2)
        in_fiber = (
            Surface(mode=Mode.FIBER_TENSION, linear=((0, 1 / a.Xt), (1, -k / a.Xt))),
            Surface(mode=Mode.FIBER_COMPRESSION, linear=((0, -1 / a.Xc), (1, k / a.Xc))),
        )
        return (
            *(in_fiber if self.fiber else ()),
            Surface(
                mode=Mode.INTER_FIBER_A,
                linear=((1, 2 * pt / a.S),),
                quadratic=((1, 1, (1 / a.Yt - 2 * pt / a.S) / a.Yt), shear),
                within=(((0.0, 1.0, 0.0), 0.0),),
            ),
            Surface(mode=Mode.INTER_FIBER_A, linear=((1, 1 / a.Yt),)),
            Surface(
                mode=Mode.INTER_FIBER_B,
                linear=((1, 2 * pc / a.S),),
                quadratic=(shear,),
                within=(((0.0, -1.0, 0.0), 0.0), ((0.0, 1.0, 0.0), -RA)),
            ),
            Surface(
                mode=Mode.INTER_FIBER_C,
                linear=((1, 1 / a.Yc),),
                quadratic=((1, 1, 1 / a.Yc**2), (2, 2, 1 / (2 * (1 + p_across) * a.S) ** 2)),
                level=0.0,
                within=(((0.0, -1.0, 0.0), RA),),
            ),
        )

    @checked
    def fracture_angle(self, values: State, allowables: Allowables, *, residual: Residual = None) -> Array:
        """Inclination of the inter-fiber crack at failure; arguments as `ratio`.

        Returns
        -------
        ndarray, shape (...)
            Angle between the crack and the normal of the ply, NaN where the matrix does not fail first [rad].

        Notes
        -----
        0 in modes A and B, acos(sqrt(RA/(-s2))) in mode C.
        """
        x, r = read_states(values, residual)
        ratio, mode = self._ratio_and_mode(x, allowables, r)
        RA, _ = action_plane(allowables, self.inclination_compression)
        in_c = mode == Mode.INTER_FIBER_C
        s2 = np.where(in_c, ratio, 0.0) * x[..., 1]
        if r is not None:
            s2 = s2 + r[..., 1]
        angle = np.arccos(np.sqrt(RA / np.maximum(-s2, RA)))
        in_matrix = in_c | (mode == Mode.INTER_FIBER_A) | (mode == Mode.INTER_FIBER_B)
        return np.where(in_c, angle, np.where(in_matrix, 0.0, np.nan))


def action_plane(a: Allowables, p: float) -> tuple[float, float]:
    """RA, resistance of the action plane to transverse shear [Pa], and p RA/S, inclination across the fibers [-]."""
    RA = a.S / (2 * p) * (sqrt(1 + 2 * p * a.Yc / a.S) - 1)
    return RA, p * RA / a.S
