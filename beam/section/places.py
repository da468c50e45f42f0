"""Places along walls, as fractions of their length."""

from numpy.typing import ArrayLike

from materials.checks import Array, array, reject


def fractions(what: str, at: ArrayLike) -> Array:
    """Places on walls as fractions of their length.

    Parameters
    ----------
    what : str
        Name for the message.
    at : array_like, shape () or (place,)
        The fractions [-].

    Returns
    -------
    ndarray, shape () or (place,)
        The same [-].

    Raises
    ------
    ValueError
        If one is not from 0 to 1.
    """
    out = array(what, at, copy=False)
    if out.ndim > 1:
        reject(what, f"shape {out.shape}", "one place, or places of shape (place,)")
    if (out < 0).any() or (out > 1).any():
        reject(what, out, "from 0 to 1", "a fraction of the wall, not a length")
    return out
