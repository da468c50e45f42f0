"""Which criterion is meant, and its parameters beside stress and strengths, by name."""

from collections.abc import Callable, Mapping
from inspect import signature

from laminate.failure import CRITERIA
from materials.checks import Array, reject

Criterion = Callable[..., Array]


def known_criterion(what: str, criterion: Criterion) -> Criterion:
    """Return the criterion; stop if it is none of `CRITERIA`.

    Parameters
    ----------
    what : str
        Who asks, for the message.
    criterion : callable
        One of ``laminate.failure.CRITERIA``.

    Returns
    -------
    callable
        The same.

    Raises
    ------
    ValueError
        If it is something else; the message names those that there are.
    """
    if not any(criterion is known for known in CRITERIA):
        names = ", ".join(known.__name__ for known in CRITERIA)
        reject(
            f"{what}: criterion", repr(criterion), f"one of {names}", "its parameters go into `parameters`"
        )
    return criterion


def parameters_of(criterion: Criterion) -> tuple[str, ...]:
    """Names of the parameters that a criterion takes beside stress, allowables and residual.

    Parameters
    ----------
    criterion : callable
        One of ``laminate.failure.CRITERIA``.

    Returns
    -------
    tuple of str
        As in ``("interaction",)``.
    """
    given = signature(criterion).parameters.values()
    return tuple(p.name for p in given if p.kind is p.KEYWORD_ONLY and p.name != "residual")


def known_parameters(
    what: str, parameters: Mapping[str, float] | None, *criteria: Criterion
) -> tuple[dict[str, float], ...]:
    """Share out parameters to the criteria that have one of that name; stop at a name that none has.

    Parameters
    ----------
    what : str
        Who asks, for the message.
    parameters : mapping of str to float, or None
        Values by name, in the units that the criteria name; None leaves all at their defaults [any].
    criteria : tuple of callable
        Of ``laminate.failure.CRITERIA``.

    Returns
    -------
    tuple of dict of str to float
        For each criterion what is to be passed on by keyword [any].

    Raises
    ------
    ValueError
        If it is no mapping or a name is unknown; the message names those that there are.
    """
    given: object = {} if parameters is None else parameters
    if not isinstance(given, Mapping):
        cause = 'as in {"interaction": 0.0}'
        reject(f"{what}: parameters", repr(given), "a mapping from name to value", cause)
    of_each = [parameters_of(criterion) for criterion in criteria]
    known = [name for names in of_each for name in names]
    for name in given:
        if name not in known:
            asked = ", ".join(criterion.__name__ for criterion in criteria)
            limit = f"one of {', '.join(known)}" if known else "left out: there are none"
            reject(f"{what}: parameters of {asked}", repr(name), limit)
    return tuple({name: given[name] for name in names if name in given} for names in of_each)
