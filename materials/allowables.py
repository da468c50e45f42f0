"""Allowables of a ply: strengths and strains that say what they are and how they came about."""

from dataclasses import dataclass, field, replace
from math import prod
from typing import Any, Literal, Self, get_args

from materials.checks import number, reject
from materials.knockdown import ALLOWABLES, STRAINS, STRENGTHS, THROUGH_THICKNESS, Factor
from materials.source import Source, source_of

Basis = Literal["mean", "B", "A", "S", "typical"]


@dataclass(frozen=True, kw_only=True)
class Allowables:
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

    Raises
    ------
    ValueError
        If a value is missing, not positive, or of a size that only a slip of units explains.

    Notes
    -----
    ``dataclasses.replace`` makes new allowables without `factors`: numbers put in by hand are not
    explained by knockdowns made before.
    """

    Xt: float
    Xc: float
    Yt: float
    Yc: float
    S: float
    Zt: float | None = None
    e1t: float | None = None
    e1c: float | None = None
    e2t: float | None = None
    e2c: float | None = None
    g12: float | None = None
    basis: Basis
    condition: str
    source: Source
    factors: tuple[Factor, ...] = field(default=(), init=False)
    before: "Allowables | None" = field(default=None, init=False, repr=False)

    def __post_init__(self) -> None:
        sign = "magnitudes, compression too"
        for name in STRENGTHS + THROUGH_THICKNESS:
            if (given := getattr(self, name)) is None and name in THROUGH_THICKNESS:
                continue
            what = f"Allowables: {name} [Pa]"
            value = number(what, given, above=0.0, cause=sign)
            value = number(what, value, at_least=1e5, cause="given in MPa?")
            object.__setattr__(self, name, number(what, value, at_most=2e10, cause="MPa taken for GPa?"))
        for name in STRAINS:
            if (given := getattr(self, name)) is not None:
                what = f"Allowables: {name} [-]"
                value = number(what, given, above=0.0, cause=sign)
                object.__setattr__(self, name, number(what, value, at_most=0.1, cause="given in percent?"))
        if self.basis not in get_args(Basis):
            reject("Allowables: basis", repr(self.basis), f"one of {', '.join(get_args(Basis))}")
        if not isinstance(self.condition, str) or not self.condition.strip():
            reject("Allowables: condition", repr(self.condition), "text", "as in '24 degC, dry'")
        source_of("Allowables", self.source)

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
            if not isinstance(factor, Factor):
                reject("Allowables.times", repr(factor), "a Factor")
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

    def explain(self, name: str) -> str:
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
            If the name is unknown or the allowable is not given.
        """
        if name not in ALLOWABLES or getattr(self, name) is None:
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

    def with_linear_strains(self, *, E1: float, E2: float, G12: float) -> Self:
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
            If a modulus is not positive or of a size that only a slip of units explains, or knockdowns
            were applied before.

        Notes
        -----
        The real shear strain at failure is larger than S / G12, since the response in shear softens;
        the linear value keeps a strain criterion consistent with a stress criterion in linear analysis.
        """
        if self.factors:
            reject("Allowables.with_linear_strains", "knocked-down allowables", "called before times")
        given = {"E1": E1, "E2": E2, "G12": G12}
        names = ("E1", "E1", "E2", "E2", "G12")
        filled: dict[str, Any] = {}
        for strain, strength, name in zip(STRAINS, STRENGTHS, names, strict=True):
            what = f"Allowables.with_linear_strains: {name} [Pa]"
            modulus = number(what, given[name], above=0.0)
            modulus = number(what, modulus, at_least=1e6, at_most=2e12, cause="given in GPa or MPa?")
            if getattr(self, strain) is None:
                filled[strain] = getattr(self, strength) / modulus
        if not filled:
            return self
        said = f"{', '.join(filled)} = strength / modulus"
        note = f"{self.source.note}; {said}" if self.source.note else said
        return replace(self, **filled, source=replace(self.source, note=note))
