"""Allowables of a ply, and the knockdown factors on them: each says what it is and where it comes from.

A factor acts on what the material can bear. Factors of safety act on loads and do not belong here.
"""

from dataclasses import field, replace
from math import prod
from typing import Annotated, Any, Literal, Self

from materials.checks import Frozen, Items, Limits, checked, reject
from materials.source import SOURCED, Source, noted

Basis = Literal["mean", "B", "A", "S", "typical"]
AllowableName = Literal["Xt", "Xc", "Yt", "Yc", "S", "Zt", "e1t", "e1c", "e2t", "e2c", "g12"]

STRENGTHS = ("Xt", "Xc", "Yt", "Yc", "S")
STRAINS = ("e1t", "e1c", "e2t", "e2c", "g12")
ALLOWABLES = (*STRENGTHS, "Zt", *STRAINS)
MODULI = ("E1", "E1", "E2", "E2", "G12")
"""Modulus that belongs to each of `STRENGTHS` and `STRAINS`."""

STRENGTH = Limits("Pa", at_least=1e5, at_most=2e10, cause="a magnitude in Pa; given in MPa, or with a sign?")
STRAIN = Limits(
    "-", above=0.0, at_most=0.1, cause="a magnitude, 1 % being 0.01; given in percent, or with a sign?"
)
MODULUS = Limits("Pa", at_least=1e6, at_most=2e12, cause="given in GPa or MPa?")


class Factor(Frozen, eq=True):
    """A knockdown: a multiplier on some of the allowables, as hot-wet, impact or process.

    Parameters
    ----------
    name : str
        What the factor stands for, as in ``"hot-wet, 82 degC"``.
    value : float
        The multiplier, up to 2 [-].
    on : tuple of str
        Names of the allowables it multiplies, out of Xt, Xc, Yt, Yc, S, Zt, e1t, e1c, e2t, e2c, g12.
    source : Source
        Where the value comes from.

    Raises
    ------
    ValueError
        If a name is repeated.

    Examples
    --------
    >>> Factor(name="hot-wet", value=0.8, on=("Xc", "S"), source=Source("coupon tests", "table 3"))
    Factor(name='hot-wet', value=0.8, on=('Xc', 'S'), source=Source(...))
    """

    name: str
    value: Annotated[float, Limits("-", above=0.0, at_most=2.0, cause="given in percent?")]
    on: Items[AllowableName]
    source: Annotated[Source, SOURCED]

    def __post_init__(self) -> None:
        super().__post_init__()
        if len(set(self.on)) < len(self.on):
            reject(f"Factor '{self.name}': on", self.on, "different names")


class Allowables(Frozen, eq=True):
    """Strengths and failure strains of a ply in its own axes, all positive.

    Parameters
    ----------
    Xt, Xc : float
        Strength along the fiber, tension and compression [Pa].
    Yt, Yc : float
        Strength across the fiber, tension and compression [Pa].
    S : float
        In-plane shear strength [Pa].
    Zt : float, optional
        Tensile strength through the thickness, between the plies, as ASTM D6415 measures it [Pa].
    e1t, e1c : float, optional
        Failure strain along the fiber, tension and compression [-].
    e2t, e2c : float, optional
        Failure strain across the fiber, tension and compression [-].
    g12 : float, optional
        Engineering shear strain at failure [-].
    basis : {"mean", "B", "A", "S", "typical"}
        Statistical meaning of the values; "S" is the minimum of a specification.
    condition : str
        Temperature and moisture they hold for, as in ``"24 degC, dry"``.
    source : Source
        Where they come from.

    Attributes
    ----------
    factors : tuple of Factor
        Knockdowns applied so far, in order; written by `times` only.
    before : Allowables or None
        The allowables before any knockdown; None if there was none.

    Notes
    -----
    ``dataclasses.replace`` makes new allowables without `factors`: numbers put in by hand are not
    explained by knockdowns made before.

    Examples
    --------
    >>> tested = Allowables(Xt=1950e6, Xc=1480e6, Yt=48e6, Yc=200e6, S=79e6, basis="B", condition="24 degC, dry",
    ...                     source=Source("coupon tests", "table 2"))
    >>> wet = Factor(name="hot-wet", value=0.8, on=("Xc", "S"), source=Source("coupon tests", "table 3"))
    >>> print(tested.times(wet).explain("Xc"))
    Xc = 1480 MPa: B, 24 degC, dry; coupon tests, table 2
      x 0.8 hot-wet; coupon tests, table 3
      = 1184 MPa
    """

    Xt: Annotated[float, STRENGTH]
    Xc: Annotated[float, STRENGTH]
    Yt: Annotated[float, STRENGTH]
    Yc: Annotated[float, STRENGTH]
    S: Annotated[float, STRENGTH]
    Zt: Annotated[float | None, STRENGTH] = None
    e1t: Annotated[float | None, STRAIN] = None
    e1c: Annotated[float | None, STRAIN] = None
    e2t: Annotated[float | None, STRAIN] = None
    e2c: Annotated[float | None, STRAIN] = None
    g12: Annotated[float | None, STRAIN] = None
    basis: Basis
    condition: Annotated[str, Limits(cause="as in '24 degC, dry'")]
    source: Annotated[Source, SOURCED]
    factors: Annotated[tuple[Factor, ...], Limits(items=0)] = field(default=(), init=False)
    before: "Allowables | None" = field(default=None, init=False, repr=False)

    def __reduce__(self) -> tuple[Any, ...]:
        """Rebuild a copy with its knockdowns, which the constructor does not take."""
        return super().__reduce__() if self.before is None else (self.before.times, self.factors)

    @checked
    def times(self, *factors: Factor) -> Self:
        """Multiply by knockdown factors and remember them.

        Parameters
        ----------
        *factors : Factor
            The knockdowns, in the order in which a report shall show them.

        Returns
        -------
        Allowables
            The reduced allowables.

        Raises
        ------
        ValueError
            If a factor acts on a value that is not given, or was applied before.
        """
        applied = self.factors
        for factor in factors:
            missing = [name for name in factor.on if getattr(self, name) is None]
            if missing:
                limit = "given in the allowables it multiplies"
                reject(f"Factor '{factor.name}': on", ", ".join(missing), limit)
            if factor in applied:
                reject(f"Factor '{factor.name}'", "the same factor twice", "applied once")
            applied += (factor,)
        before = self.before or self
        values: dict[str, Any] = {
            name: getattr(before, name) * prod(factor.value for factor in applied if name in factor.on)
            for name in ALLOWABLES
            if getattr(before, name) is not None
        }
        out = replace(self, **values)
        if applied:
            object.__setattr__(out, "factors", applied)
            object.__setattr__(out, "before", before)
        return out

    @checked
    def explain(self, name: AllowableName) -> str:
        """Say how an allowable came about: stated value, each factor, result, sources.

        Parameters
        ----------
        name : str
            One of Xt, Xc, Yt, Yc, S, Zt, e1t, e1c, e2t, e2c, g12.

        Returns
        -------
        str
            Some lines of text, strengths in MPa.

        Raises
        ------
        ValueError
            If the allowable is not given.
        """
        if getattr(self, name) is None:
            given = [known for known in ALLOWABLES if getattr(self, known) is not None]
            reject("Allowables.explain: name", repr(name), f"one of {', '.join(given)}")

        def show(value: float) -> str:
            return f"{value / 1e6:.4g} MPa" if name not in STRAINS else f"{value:.4g}"

        stated = self.before or self
        lines = [f"{name} = {show(getattr(stated, name))}: {self.basis}, {self.condition}; {self.source}"]
        acting = [factor for factor in self.factors if name in factor.on]
        lines += [f"  x {factor.value:.4g} {factor.name}; {factor.source}" for factor in acting]
        if acting:
            lines.append(f"  = {show(getattr(self, name))}")
        return "\n".join(lines)

    @property
    def through_thickness(self) -> float:
        """Strength Zt between the plies [Pa]; stops if it is not given."""
        if self.Zt is None:
            cause = "test it by ASTM D6415; it follows from no in-plane value, and not from Yt"
            reject(
                f"Allowables from {self.source}", "no Zt", "given for tension through the thickness", cause
            )
        return self.Zt

    @property
    def strains(self) -> tuple[float, float, float, float, float]:
        """Failure strains (e1t, e1c, e2t, e2c, g12) [-]; stops if one is not given."""
        e1t, e1c, e2t, e2c, g12 = self.e1t, self.e1c, self.e2t, self.e2c, self.g12
        if e1t is None or e1c is None or e2t is None or e2c is None or g12 is None:
            missing = ", ".join(name for name in STRAINS if getattr(self, name) is None)
            cause = "Allowables.with_linear_strains derives them from strengths and moduli"
            reject(f"Allowables from {self.source}", f"no {missing}", "given for a strain criterion", cause)
        return e1t, e1c, e2t, e2c, g12

    @checked
    def with_linear_strains(
        self,
        *,
        E1: Annotated[float, MODULUS],
        E2: Annotated[float, MODULUS],
        G12: Annotated[float, MODULUS],
    ) -> Self:
        """Fill in the failure strains that are not given by strength / modulus.

        Parameters
        ----------
        E1, E2, G12 : float
            Moduli of the ply [Pa].

        Returns
        -------
        Allowables
            With all five strains, and a note in the source that names the filled ones.

        Raises
        ------
        ValueError
            If knockdowns were applied before.

        Notes
        -----
        e1t = Xt / E1, e1c = Xc / E1, e2t = Yt / E2, e2c = Yc / E2, g12 = S / G12. The real shear strain at
        failure is larger, since the response in shear softens; the linear value keeps a strain criterion
        consistent with a stress criterion in linear analysis.
        """
        if self.factors:
            reject("Allowables.with_linear_strains", "knocked-down allowables", "called before times")
        moduli = {"E1": E1, "E2": E2, "G12": G12}
        filled: dict[str, Any] = {
            strain: getattr(self, strength) / moduli[modulus]
            for strain, strength, modulus in zip(STRAINS, STRENGTHS, MODULI, strict=True)
            if getattr(self, strain) is None
        }
        if not filled:
            return self
        return replace(self, **filled, source=noted(self.source, f"{', '.join(filled)} = strength / modulus"))
