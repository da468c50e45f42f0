"""Allowables of a ply, and the knockdown factors on them: each says what it is and where it comes from.

A factor acts on what the material can bear. Factors of safety act on loads and do not belong here.
"""

from collections.abc import Mapping
from dataclasses import field, replace
from functools import cached_property
from math import prod
from typing import Annotated, Any, Literal, Self

from materials.checks import Frozen, Items, Limits, checked, default, reject
from materials.source import SOURCED, Source, check_value_sources, noted
from materials.statistics.basis import tolerance_factor
from materials.statistics.coupons import CouponBasis
from materials.statistics.sampling import DEFAULT_SCATTER, modified_variation, sampling

Basis = Literal["mean", "typical", "specification", "A", "B", "estimate"]
AllowableName = Literal["Xt", "Xc", "Yt", "Yc", "S", "S02", "Zt", "e1t", "e1c", "e2t", "e2c", "g12"]

STRENGTHS = ("Xt", "Xc", "Yt", "Yc", "S")
STRAINS = ("e1t", "e1c", "e2t", "e2c", "g12")
WEAKEST = ("estimate", "B", "A")
ALLOWABLES = (*STRENGTHS, "S02", "Zt", *STRAINS)
MODULI = ("E1", "E1", "E2", "E2", "G12")
"""Modulus that belongs to each of `STRENGTHS` and `STRAINS`."""

STRENGTH = Limits("Pa", at_least=1e5, at_most=2e10, cause="a magnitude in Pa; given in MPa, or with a sign?")
STRAIN = Limits(
    "-", above=0.0, at_most=0.1, cause="a magnitude, 1 % being 0.01; given in percent, or with a sign?"
)
TESTS = {
    "Xt": "ASTM D3039", "Xc": "ASTM D6641", "Yt": "ASTM D3039", "Yc": "ASTM D6641", "S": "ASTM D3518",
    "S02": "ASTM D3518, strength at 0.2 % offset", "Zt": "ASTM D6415", "e1t": "ASTM D3039", "e1c": "ASTM D6641",
    "e2t": "ASTM D3039", "e2c": "ASTM D6641", "g12": "ASTM D3518",
}  # fmt: skip
"""Coupon test that gives each allowable."""

FACTOR_CAUSE = (
    "a factor reduces; a raise, as of an embedded ply or of a cold test, is an allowable of its own and stands in "
    "the Allowables before any factor"
)
SCATTER = Limits("-", above=0.0, at_most=0.5, cause="given in percent?")
MODULUS = Limits("Pa", at_least=1e6, at_most=2e12, cause="given in GPa or MPa?")


class Factor(Frozen, eq=True):
    """A knockdown: a multiplier on some of the allowables, as hot-wet, impact or process.

    Parameters
    ----------
    name : str
        What the factor stands for, as in ``"hot-wet, 82 degC"``.
    value : float
        The multiplier, up to 1 [-].
    on : tuple of str
        Names of the allowables it multiplies, out of Xt, Xc, Yt, Yc, S, S02, Zt, e1t, e1c, e2t, e2c, g12.
    gives : {"A", "B", "estimate"}, optional
        Basis of what it returns, for a factor from the mean to a basis value; `Allowables.to_basis` makes them.
    source : Source
        Where the value comes from.

    Raises
    ------
    ValueError
        If a name is repeated.

    Notes
    -----
    An environment may raise a strength, as cold does. It is then a tested condition (`ConditionedLamina`), no factor.

    Examples
    --------
    >>> wet = Factor(name="hot-wet", value=0.8, on=("Xc", "S"), source=Source("coupon tests", "table 3"))
    >>> wet.value, wet.on
    (0.8, ('Xc', 'S'))
    """

    name: str
    value: Annotated[float, Limits("-", above=0.0, at_most=1.0, cause=FACTOR_CAUSE)]
    on: Items[AllowableName]
    gives: Literal["A", "B", "estimate"] | None = None
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
        In-plane shear strength, the lower of the maximum and of the stress at 5 % shear strain [Pa].
    S02 : float, optional
        In-plane shear strength at 0.2 % offset, where the shear response leaves its straight line [Pa].
    Zt : float, optional
        Tensile strength through the thickness, between the plies, as ASTM D6415 measures it [Pa].
    e1t, e1c : float, optional
        Failure strain along the fiber, tension and compression [-].
    e2t, e2c : float, optional
        Failure strain across the fiber, tension and compression [-].
    g12 : float, optional
        Engineering shear strain at failure [-].
    basis : {"mean", "typical", "specification", "A", "B", "estimate"}
        Statistical meaning of the values. "specification" is the minimum of a specification; "estimate" is computed
        as an A- or B-basis value from fewer coupons than that needs, or with a scatter that was not measured.
    condition : str
        Temperature and moisture they hold for, as in ``"24 degC, dry"``.
    source : Source
        Where they come from.
    sources : iterable of (str, Source)
        Source of single values by name, where it is another one.
    coupons, batches : int, optional
        Size of the smallest sample behind an A- or B-basis, for the rule of `materials.statistics.sampling` [-].
    highest : Allowables, optional
        Highest strengths over all tested conditions, as `ConditionedLamina.at` gives them.

    Raises
    ------
    ValueError
        If S02 is above S, a source names no value, or the sample is too small for the basis.

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
    S02: Annotated[float | None, STRENGTH] = None
    Zt: Annotated[float | None, STRENGTH] = None
    e1t: Annotated[float | None, STRAIN] = None
    e1c: Annotated[float | None, STRAIN] = None
    e2t: Annotated[float | None, STRAIN] = None
    e2c: Annotated[float | None, STRAIN] = None
    g12: Annotated[float | None, STRAIN] = None
    basis: Basis
    condition: Annotated[str, Limits(cause="as in '24 degC, dry'")]
    source: Annotated[Source, SOURCED]
    sources: Annotated[Items[tuple[str, Source]], Limits(items=0)] = default(())
    coupons: Annotated[int | None, Limits("-", at_least=2)] = None
    batches: Annotated[int | None, Limits("-", at_least=1)] = None
    highest: "Allowables | None" = None
    factors: Annotated[tuple[Factor, ...], Limits(items=0)] = field(default=(), init=False)
    before: "Allowables | None" = field(default=None, init=False, repr=False)

    def __post_init__(self) -> None:
        super().__post_init__()
        owner = f"Allowables from {self.source.document}"
        check_value_sources(owner, self.sources, ALLOWABLES)
        if self.S02 is not None and self.S02 > self.S:
            reject(f"{owner}: S02 [Pa]", f"{self.S02:g}", f"<= S = {self.S:g}", "swapped?")
        if self.basis in ("A", "B") and self.coupons is not None and self.batches is not None:
            found = sampling(self.coupons, self.batches, basis=self.basis)
            if found.basis != self.basis:
                reject(
                    f"{owner}: basis", f"{self.basis!r} from {found.said}", "'estimate'", "test more coupons"
                )

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
        gives = [factor.gives for factor in applied if factor.gives]
        basis: Basis = min(gives, key=WEAKEST.index) if gives else before.basis
        if basis != before.basis:  # the sample of the mean is not that of the factor
            values |= {"coupons": None, "batches": None}
        out = replace(self, **values, basis=basis)
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
            One of Xt, Xc, Yt, Yc, S, S02, Zt, e1t, e1c, e2t, e2c, g12.

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
        said = f"{stated.basis}, {self.condition}; {self.source_of(name)}"
        lines = [f"{name} = {show(getattr(stated, name))}: {said}"]
        acting = [factor for factor in self.factors if name in factor.on]
        lines += [f"  x {factor.value:.4g} {factor.name}; {factor.source}" for factor in acting]
        if acting:
            lines.append(f"  = {show(getattr(self, name))}")
        return "\n".join(lines)

    @checked
    def to_basis(
        self,
        basis: Literal["A", "B"],
        *,
        kind: Literal["tape", "fabric"],
        coupons: Annotated[int, Limits("-", at_least=2)],
        batches: Annotated[int, Limits("-", at_least=1)],
        samples: Mapping[AllowableName, CouponBasis] | None = None,
        fiber: Annotated[float | None, SCATTER] = None,
        matrix: Annotated[float | None, SCATTER] = None,
        shear: Annotated[float | None, SCATTER] = None,
    ) -> "Allowables":
        """Reduce mean values to a basis by samples of coupons, or by tolerance factor and scatter without them.

        Parameters
        ----------
        basis : {"A", "B"}
            Basis asked for. The result is called "estimate" if the sample is too small for it, or if a scatter is the
            default one.
        kind : {"tape", "fabric"}
            Of a fabric, axis 2 is a fiber direction too.
        coupons, batches : int
            Size of the smallest sample of the values that have none in `samples` [-].
        samples : mapping of str to CouponBasis, optional
            Samples of single values by name, from `basis_from_coupons`. Such a value is taken times basis value over
            mean of its sample, with the modified coefficient of variation where that is lower.
        fiber, matrix, shear : float, optional
            Measured coefficient of variation, s / mean; the default is 6 %, 10 % and 10 %, marked as such [-].

        Returns
        -------
        Allowables
            The reduced values, with one factor for each sample and each group.

        Raises
        ------
        ValueError
            If the values are no mean or typical ones, a sample is of a value not given, or a factor comes out below
            zero.

        Notes
        -----
        Without a sample: factor 1 - k cv, k from `tolerance_factor`, cv the default scatter or the modified coefficient
        of variation of a measured one (`modified_variation`).
        """
        if self.basis not in ("mean", "typical"):
            reject(
                "Allowables.to_basis: basis", repr(self.basis), "'mean' or 'typical'", "scatter counts twice"
            )
        found = sampling(coupons, batches, basis=basis)
        measured = {"fiber": fiber, "matrix": matrix, "shear": shear}
        across = ("Yt", "Yc", "e2t", "e2c")
        names: dict[str, tuple[AllowableName, ...]] = {
            "fiber": ("Xt", "Xc", "e1t", "e1c", *(across if kind == "fabric" else ())),
            "matrix": (*(() if kind == "fabric" else across), "Zt"),
            "shear": ("S", "S02", "g12"),
        }
        given = dict(samples or {})
        if missing := [name for name in given if getattr(self, name) is None]:
            reject("Allowables.to_basis: samples", ", ".join(missing), "values that are given")
        acting = {
            group: tuple(n for n in on if getattr(self, n) is not None and n not in given)
            for group, on in names.items()
        }
        default_used = any(measured[group] is None for group, on in acting.items() if on)
        gives = "estimate" if default_used else found.basis
        k = float(tolerance_factor(coupons, basis=basis))
        factors = [self._from_sample(name, sample, basis) for name, sample in given.items()]
        for group, on in acting.items():
            if not on:
                continue
            known = measured[group]
            cv = DEFAULT_SCATTER[group] if known is None else float(modified_variation(known))
            said = (
                "default scatter, not measured"
                if known is None
                else f"measured {100 * known:.3g} %, modified"
            )
            note = f"{found.said}; k {k:.4g}, coefficient of variation {100 * cv:.3g} % ({said})"
            if known is None and found.basis != "estimate":
                note = f"estimate, not {basis}-basis: scatter not measured; {note}"
            factors.append(
                Factor(
                    name=f"{self.basis} to {basis}-basis, {group}", value=1.0 - k * cv, on=on, gives=gives,
                    source=Source("CMH-17-1G", "chapter 8", note, "memory"),
                )
            )  # fmt: skip
        return self.times(*factors)

    def _from_sample(self, name: AllowableName, sample: CouponBasis, basis: Literal["A", "B"]) -> Factor:
        """Factor from the mean of a value to its basis value, by the sample of its coupons."""
        models = [one for one in (sample.chosen, sample.modified) if one is not None]
        model = min(models, key=lambda one: getattr(one, basis))
        found = sample.sampling(basis=basis)
        note = f"{found.said}; {model.model} of its own coupons, {sample.condition}"
        return Factor(
            name=f"{self.basis} to {basis}-basis, {name}", value=getattr(model, basis) / sample.mean, on=(name,),
            gives=found.basis, source=Source("MIL-HDBK-17-1F", "chapter 8", note, "memory"),
        )  # fmt: skip

    @checked
    def source_of(self, name: AllowableName) -> Source:
        """Source of one value, with its standing.

        Parameters
        ----------
        name : str
            One of Xt, Xc, Yt, Yc, S, S02, Zt, e1t, e1c, e2t, e2c, g12.

        Returns
        -------
        Source
            That of the value, or that of all of them.
        """
        return dict(self.sources).get(name, self.source)

    @checked
    def need(self, name: AllowableName) -> float:
        """Return an allowable; refuse if it is not given, and say which test gives it.

        Parameters
        ----------
        name : str
            One of Xt, Xc, Yt, Yc, S, S02, Zt, e1t, e1c, e2t, e2c, g12.

        Returns
        -------
        float
            The value [Pa], of a strain [-].
        """
        value: float | None = getattr(self, name)
        if value is None:
            owner = f"Allowables from {self.source.document}, {self.condition}"
            reject(owner, f"no {name}", "given for this check", f"{TESTS[name]} gives it")
        return value

    @property
    def basis_said(self) -> str:
        """Basis in words, with the sample that it rests on."""
        if giving := [factor for factor in self.factors if factor.gives]:
            return min(giving, key=lambda one: WEAKEST.index(one.gives or "A")).source.note
        if self.basis not in ("A", "B"):
            return self.basis
        if self.coupons is None or self.batches is None:
            return f"{self.basis}-basis, sampling not stated"
        return sampling(self.coupons, self.batches, basis=self.basis).said

    @cached_property
    def stated(self) -> "Allowables":
        """Strengths before any reduction, the highest over all tested conditions; itself if nothing was reduced."""
        before = self.before or self
        if before.highest is None:
            return before
        values: dict[str, Any] = {
            name: max(getattr(before, name), getattr(before.highest, name)) for name in STRENGTHS
        }
        source = noted(before.source, "highest over the tested conditions")
        return replace(before, **values, source=source, highest=None)

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
