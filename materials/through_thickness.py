"""How a ply behaves through its thickness: what it states, and what symmetry gives where it states nothing."""

from typing import Any, NamedTuple

from materials.checks import checked, reject
from materials.lamina import Lamina

UNIDIRECTIONAL = 2.0
"""Least E1 over E2 of a ply that is taken as unidirectional; glass in epoxy has 2.8 and more, fabrics about 1 [-]."""

ISOTROPIC = 0.01
"""Largest relative difference of moduli in a ply that is taken as isotropic [-]."""


class ThroughThickness(NamedTuple):
    """Properties of a ply through its thickness, the result of `through_thickness`.

    Attributes
    ----------
    E3 : float
        Young's modulus [Pa].
    nu13, nu23 : float
        Contraction through the thickness under stress along 1 and along 2 [-].
    alpha3 : float
        Thermal expansion [1/K].
    beta3 : float
        Moisture expansion, strain per mass fraction [-].
    """

    E3: float
    nu13: float
    nu23: float
    alpha3: float
    beta3: float


@checked
def through_thickness(lamina: Lamina) -> ThroughThickness:
    """Find how a ply behaves through its thickness.

    Parameters
    ----------
    lamina : Lamina
        The ply.

    Returns
    -------
    ThroughThickness
        What the lamina states; where it states nothing, what its symmetry gives.

    Raises
    ------
    ValueError
        If a value is neither stated nor follows, or the values do not go together.

    Notes
    -----
    A unidirectional ply (E1 >= 2 E2) is transversely isotropic: E3 = E2, nu13 = nu12, nu23 = E2 / (2 G23) - 1,
    alpha3 = alpha2, beta3 = beta2. An isotropic ply is known by G13 = G23 = G12 = E / (2 (1 + nu)). A fabric is
    neither: the resin between its layers makes it soft through the thickness, and nothing stands for values that
    it does not state; only beta3 is 0 where beta1 and beta2 are.

    Examples
    --------
    >>> from materials.catalog import lamina
    >>> ply = through_thickness(lamina("AS4/3501-6"))
    >>> ply.E3, ply.nu13, ply.nu23
    (11000000000.0, 0.28, 0.4)
    """
    m, owner = lamina, f"Lamina '{lamina.name}'"
    stated = {name: getattr(m, name) for name in ThroughThickness._fields}
    values: dict[str, Any] = _by_symmetry(m) | {k: value for k, value in stated.items() if value is not None}
    if missing := [name for name in stated if name not in values]:
        cause = (
            "a unidirectional ply needs G23 or nu23, an isotropic one G13 = G23 = G12, "
            f"and one with E1 < {UNIDIRECTIONAL:g} E2 (a fabric) all of E3, nu13, nu23, alpha3, and beta3 if it swells"
        )
        reject(owner, f"no {', '.join(missing)}", "given for stress through the thickness", cause)
    out = ThroughThickness(**values)
    nu21, nu31, nu32 = m.nu21, out.nu13 * out.E3 / m.E1, out.nu23 * out.E3 / m.E2
    left = 1 - m.nu12 * nu21 - out.nu23 * nu32 - out.nu13 * nu31 - 2 * nu21 * nu32 * out.nu13
    if not (left > 0 and abs(out.nu23) < (m.E2 / out.E3) ** 0.5 and abs(out.nu13) < (m.E1 / out.E3) ** 0.5):
        reject(
            f"{owner}: E3, nu13, nu23",
            f"{out.E3:g}, {out.nu13:g}, {out.nu23:.3g}",
            "such that stress always does work",
            "nu23 = E2 / (2 G23) - 1 if not given; nu13 and nu23 belong to stress along 1 and 2",
        )
    return out


def is_known(lamina: Lamina) -> bool:
    """Whether `through_thickness` finds all it needs."""
    try:
        through_thickness(lamina)
    except ValueError:
        return False
    return True


def _by_symmetry(m: Lamina) -> dict[str, float]:
    """What follows for a unidirectional or an isotropic ply; a dry expansion is zero if both others are."""
    if m.E1 >= UNIDIRECTIONAL * m.E2:
        out = {"E3": m.E2, "nu13": m.nu12, "alpha3": m.alpha2, "beta3": m.beta2}
        if m.G23 is not None and m.E3 in (None, m.E2):
            out["nu23"] = m.E2 / (2 * m.G23) - 1
        return out
    alike = (m.E2, *(2 * (1 + m.nu12) * (G or 0.0) for G in (m.G12, m.G13, m.G23)))
    if all(abs(E / m.E1 - 1) < ISOTROPIC for E in alike) and (m.alpha1, m.beta1) == (m.alpha2, m.beta2):
        return {"E3": m.E1, "nu13": m.nu12, "nu23": m.nu12, "alpha3": m.alpha1, "beta3": m.beta1}
    return {} if m.beta1 or m.beta2 else {"beta3": 0.0}
