"""Knockdown factors: named, sourced multipliers on allowables.

A factor acts on what the material can bear. Factors of safety act on loads and do not belong here.
"""

from dataclasses import dataclass

from materials.checks import number, reject, sequence
from materials.limits import named
from materials.source import Source, source_of

STRENGTHS = ("Xt", "Xc", "Yt", "Yc", "S")
THROUGH_THICKNESS = ("Zt",)
STRAINS = ("e1t", "e1c", "e2t", "e2c", "g12")
ALLOWABLES = STRENGTHS + THROUGH_THICKNESS + STRAINS


@dataclass(frozen=True, kw_only=True)
class Factor:
    """A multiplier on some of the allowables, as hot-wet, impact or process.

    Parameters
    ----------
    name : str
        What the factor stands for, as in ``"hot-wet, 82 degC"``.
    value : float
        The multiplier [-].
    on : tuple of str
        Names of the allowables it multiplies, out of Xt, Xc, Yt, Yc, S, Zt, e1t, e1c, e2t, e2c, g12.
    source : Source
        Where the value comes from.

    Raises
    ------
    ValueError
        If the value is not in (0, 2], or `on` is empty, repeats a name or holds an unknown one.
    """

    name: str
    value: float
    on: tuple[str, ...]
    source: Source

    def __post_init__(self) -> None:
        owner = named("Factor", self.name)
        value = number(f"{owner}: value [-]", self.value, above=0.0, at_most=2.0, cause="given in percent?")
        given: object = self.on
        if isinstance(given, str):
            reject(f"{owner}: on", repr(given), "a tuple of names", f"write on=({given!r},)")
        on = sequence(f"{owner}: on", self.on, empty=True)
        allowed = ALLOWABLES
        if not on or any(name not in allowed for name in on) or len(set(on)) < len(on):
            reject(f"{owner}: on", on, f"different names out of {', '.join(allowed)}")
        source_of(owner, self.source)
        object.__setattr__(self, "value", value)
        object.__setattr__(self, "on", on)
