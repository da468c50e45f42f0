"""A stack seen through its thickness: expansion, contraction, and its moduli as one homogeneous material.

What a ply does through its thickness comes from `materials.through_thickness`. In the stack it is no longer free: the
stresses s1, s2 of lamination theory contract it by Poisson's effect,

    e3 = alpha3 dT + beta3 c - (nu13/E1) s1 - (nu23/E2) s2

A stack of unidirectional plies that hold each other in the plane so expands far more through the thickness than a ply.

What turns a corner is not the plain mean of e3. By virtual work with the state of a unit hoop moment (hoop stress s,
radial stress g/R with g = integral of s from z to h/2, strain through the thickness t), the large radius R of the
corner falling out,

    e_z = integral of (g e3 - t S) dz,   S(z) = integral of the hoop stress from -h/2 to z

The second term is there because hoop stresses, self-balanced in a flat stack, press radially in a curved one. For one
material e_z = e3. Hoop stress with a resultant Ny is counted in S less its mean, which the flat wall has as well.
"""

from typing import NamedTuple

import numpy as np

from laminate.stack import Heat, Laminate, Water
from laminate.transverse_shear import shear_modulus_rotated
from materials.checks import Array, checked, checked_together
from materials.through_thickness import through_thickness

__all__ = ["CornerModuli", "corner_moduli", "thickness_compliance", "thickness_expansion"]


class CornerModuli(NamedTuple):
    """A stack in a corner as one material, in the plane of the corner; the arguments of `radial_peak`.

    Attributes
    ----------
    E_hoop : float
        Modulus along the arc [Pa].
    E_radial : float
        Modulus through the thickness [Pa].
    G : float
        Interlaminar shear modulus [Pa].
    nu : float
        Contraction through the thickness for stress along the arc [-].
    """

    E_hoop: float
    E_radial: float
    G: float
    nu: float


@checked
def corner_moduli(laminate: Laminate) -> CornerModuli:
    """Moduli of a stack that is bent around the span, its y axis running along the arc.

    Parameters
    ----------
    laminate : Laminate
        The stack.

    Returns
    -------
    CornerModuli
        E_hoop and nu of the stack pulled along y without bending, E_radial and G of its plies in series.

    Raises
    ------
    ValueError: if a lamina does not say enough of its thickness direction: G13, G23, and see
        `materials.through_thickness`.

    Notes
    -----
    E_hoop = 1/(h a22) with a = A^-1, 1/E_radial = sum (t/h)/E3, 1/G = sum (t/h) (G-bar^-1)yy.

    Examples
    --------
    >>> import dataclasses, materials
    >>> T300 = dataclasses.replace(materials.lamina("T300/5208"), G13=7.17e9, G23=3.5e9)
    >>> one = corner_moduli(Laminate.from_code("[±45/0/90]s", T300))
    >>> [round(E / 1e9, 2) for E in one[:3]], round(one.nu, 3)
    ([69.68, 10.3, 4.7], 0.314)
    """
    plies = [ply.lamina for ply in laminate.plies]
    share = laminate.ply_thickness / laminate.thickness
    E3 = np.array([through_thickness(lamina).E3 for lamina in plies])
    G13, G23 = np.array([lamina.transverse_shear for lamina in plies]).T
    soft = np.linalg.inv(shear_modulus_rotated(G13, G23, laminate.angles_deg))[:, 1, 1]
    pulled = np.linalg.inv(laminate.A)[:, 1]
    stress = (laminate.stress_recovery[..., :3] @ pulled).mean(axis=1)
    contraction = share @ (_poisson(laminate) * stress).sum(axis=-1)
    return CornerModuli(
        E_hoop=float(1 / (laminate.thickness * pulled[1])),
        E_radial=float(1 / (share @ (1 / E3))),
        G=float(1 / (share @ soft)),
        nu=float(-contraction / pulled[1]),
    )


@checked_together
def thickness_expansion(laminate: Laminate, temperature_change: Heat = 0.0, moisture: Water = 0.0) -> Array:
    """Strain through the thickness of the unloaded stack that changes the angle of a corner.

    Parameters
    ----------
    laminate : Laminate
        The stack, its y axis along the arc.
    temperature_change : array_like, shape (...)
        Temperature above the stress-free temperature [K].
    moisture : array_like, shape (...)
        Absorbed moisture as mass fraction [-].

    Returns
    -------
    ndarray, shape (...)
        e_z of the module text; a corner turns by its angle times (strain along y less this) [-].

    Raises
    ------
    ValueError: as `materials.through_thickness`, or if an input is not finite.

    Notes
    -----
    e_z = integral of (g e3 - t S) dz with e3 = alpha3 dT + beta3 c - (nu13/E1) s1 - (nu23/E2) s2.

    Examples
    --------
    >>> import dataclasses, materials
    >>> T300 = dataclasses.replace(materials.lamina("T300/5208"), G13=7.17e9, G23=3.5e9)
    >>> alone, stack = (Laminate.from_code(code, T300) for code in ("[0]T", "[±45/0/90]s"))
    >>> [float((1e6 * thickness_expansion(one, 1.0)).round(1)) for one in (alone, stack)]  # [1e-6/K]
    [22.5, 32.0]
    """
    free = [through_thickness(ply.lamina) for ply in laminate.plies]
    alpha, beta = np.array([one.alpha3 for one in free]), np.array([one.beta3 for one in free])
    radial, stress_weights = _weights(laminate)
    state = laminate.response(temperature_change=temperature_change, moisture=moisture)
    stress = np.einsum("psi,...psi->...", stress_weights, state.residual_stress)
    dT, c = np.asarray(temperature_change), np.asarray(moisture)
    return np.asarray(dT * (radial @ alpha) + c * (radial @ beta) + stress)


@checked
def thickness_compliance(laminate: Laminate) -> Array:
    """Strain through the thickness that turns a corner, as in `thickness_expansion`, per running load.

    Parameters
    ----------
    laminate : Laminate
        The stack, its y axis along the arc.

    Returns
    -------
    ndarray, shape (6,)
        Per (Nx, Ny, Nxy, Mx, My, Mxy) [m/N], [1/N].

    Raises
    ------
    ValueError: as `materials.through_thickness`.

    Notes
    -----
    e_z of the module text with the ply stresses of each unit load in place of those of expansion.

    Examples
    --------
    >>> import dataclasses, materials
    >>> T300 = dataclasses.replace(materials.lamina("T300/5208"), G13=7.17e9, G23=3.5e9)
    >>> per_load = thickness_compliance(Laminate.from_code("[0_8]T", T300))
    >>> float((per_load[0] * 181e9 * 1e-3).round(6))  # -nu13 of the ply
    -0.28
    """
    per_load = laminate.stress_recovery @ laminate.compliance
    return np.asarray(np.einsum("psi,psik->k", _weights(laminate)[1], per_load))


def _poisson(laminate: Laminate) -> Array:
    """Strain through the thickness per stress (s1, s2, t12) of each ply, shape (ply, 3) [1/Pa]."""
    plies = [ply.lamina for ply in laminate.plies]
    free = [through_thickness(lamina) for lamina in plies]
    return np.array([(-f.nu13 / m.E1, -f.nu23 / m.E2, 0.0) for m, f in zip(plies, free, strict=True)])


def _weights(laminate: Laminate) -> tuple[Array, Array]:
    """Weights of e_z: of the free strain of each ply, (ply,) [-], and of its stress at both surfaces [1/Pa].

    Within a ply all fields are polynomials of third degree at most, for which Gauss's rule is exact.
    """
    x, weight = np.polynomial.legendre.leggauss(3)
    x, weight = 0.5 * (1 + x), 0.5 * weight
    h, thick = laminate.thickness, laminate.ply_thickness[:, None]
    poisson, hoop = _poisson(laminate), laminate.rotation[:, :, 1]
    # The wall of a tube cannot strain along the span: unit My, with ex, kx, kxy and Ny, Nxy zero.
    free = np.array([1, 2, 4])
    unit = np.zeros(6)
    unit[free] = np.linalg.inv(laminate.abd[free[:, None], free])[:, 2]
    s = laminate.stress_recovery @ unit
    ends = np.stack([1 - x, x])  # shares of the surfaces in a value, and in its integral from the inner one
    so_far = np.stack([x - x * x / 2, x * x / 2])
    s_hoop = (s @ hoop[..., None])[..., 0]
    below = np.cumsum(thick[:, 0] * s_hoop.mean(axis=1)) - thick[:, 0] * s_hoop.mean(axis=1)
    g = -(below[:, None] + thick * (s_hoop @ so_far))
    t = (s @ poisson[..., None])[..., 0] @ ends
    dz = thick * weight
    height = (laminate.interfaces[:-1, None] + thick * x) / h + 0.5
    beyond = (t * dz).sum() - np.cumsum((t * dz).sum(axis=1)) - (t * height * dz).sum()
    summed = (t * dz * thick) @ so_far.T + 0.5 * beyond[:, None] * thick
    weights = ((g * dz) @ ends.T)[..., None] * poisson[:, None, :] - summed[..., None] * hoop[:, None, :]
    return (g * dz).sum(axis=1), weights
