"""How near to the wet glass transition a ply may serve."""

import warnings

from materials.checks import number

OPERATING_GAP = 28.0  # [K], which is 50 degF


class GlassTransitionWarning(UserWarning):
    """The service temperature is too near the wet glass transition."""


def check_glass_transition(temperature: float, wet_glass_transition: float) -> float:
    """Warn if a service temperature is within 28 K of the wet glass transition.

    Parameters
    ----------
    temperature : float
        Service temperature [K].
    wet_glass_transition : float
        Glass transition temperature of the wet laminate [K].

    Returns
    -------
    float
        The material operational limit, the wet glass transition less 28 K [K].

    Raises
    ------
    ValueError
        If a temperature can only be in degrees Celsius.

    Warns
    -----
    GlassTransitionWarning
        If the service temperature is above that limit.

    References
    ----------
    MIL-HDBK-17-1F (2002), section 2.2.8, material operational limit (from memory); common practice.
    """
    cause = "given in degC?"
    service = number("temperature [K]", temperature, at_least=150.0, at_most=1500.0, cause=cause)
    transition = number(
        "wet_glass_transition [K]", wet_glass_transition, at_least=250.0, at_most=1500.0, cause=cause
    )
    limit = transition - OPERATING_GAP
    if service > limit:
        text = (
            f"service temperature {service:g} K is above {limit:g} K, the wet glass transition "
            f"{transition:g} K less {OPERATING_GAP:g} K: the matrix loses stiffness and strength there"
        )
        warnings.warn(text, GlassTransitionWarning, stacklevel=3)
    return limit
