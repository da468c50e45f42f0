"""What every failure criterion answers: strength ratio, mode, and the pieces of its failure surface."""

from abc import abstractmethod
from typing import Annotated, Any, ClassVar, Literal, Self

import numpy as np
from numpy.typing import ArrayLike

from laminate.failure.modes import Mode, ModeArray, dominant_mode
from laminate.failure.surface import Piece, first_crossing, first_ratio
from materials.allowables import Allowables
from materials.checks import Array, Frozen, Limits, checked, common_shape, reject
from materials.lamina import Kind

State = Annotated[ArrayLike, Limits("any", last=(3,), copy=False)]
Residual = Annotated[ArrayLike | None, Limits("any", last=(3,), copy=False)]


class Criterion(Frozen, eq=True):
    """Failure criterion of a ply in plane stress; its parameters are the fields of each subclass.

    Attributes
    ----------
    name : str
        Word printed in tables, as in ``"tsai_wu"``.
    title : str
        Name in the legend of a plot.
    takes : {"stress", "strain"}
        What `ratio` and `mode` take: stress (s1, s2, t12) [Pa] or strain (e1, e2, g12) with the engineering shear
        strain [-], in ply axes.
    convex : bool
        Whether the safe states are a convex set. Then, of all plies of one material and angle, the two outermost
        surfaces govern.
    suits : tuple of str
        Kinds of ply that it judges, of "tape" and "fabric".

    Notes
    -----
    A criterion sees stress or strain and allowables, never a laminate. Whoever brings it to a lamina asks
    `for_kind` first. A new one declares the five attributes and `_surfaces`, and its line in `CRITERIA`.

    Examples
    --------
    >>> from laminate.failure import CRITERIA
    >>> [criterion.name for criterion in CRITERIA if criterion.convex]
    ['max_stress', 'max_strain', 'hoffman', 'tsai_wu']
    """

    name: ClassVar[str]
    title: ClassVar[str]
    takes: ClassVar[Literal["stress", "strain"]] = "stress"
    convex: ClassVar[bool] = False
    suits: ClassVar[tuple[Kind, ...]] = ("tape", "fabric")

    @checked
    def for_kind(self, kind: Kind) -> Self:
        """The criterion as it judges plies of one kind.

        Parameters
        ----------
        kind : {"tape", "fabric"}
            `Lamina.kind` of the ply.

        Returns
        -------
        Criterion
            Itself, or the form that belongs to the kind (`TsaiWu`, `FiberStrain`).

        Raises
        ------
        ValueError
            If the criterion does not judge such plies: one of matrix cracks along the fibers is for tape only.
        """
        if kind not in self.suits:
            cause = f"for {kind}: fabric, fiber strain, shear, max stress or Tsai-Wu"
            if kind == "tape":
                cause = "a tape has a matrix direction: Puck, Hashin, LaRC03, max stress or Tsai-Wu"
            reject(f"{self.name}: kind of the lamina", repr(kind), " or ".join(map(repr, self.suits)), cause)
        return self

    @abstractmethod
    def _surfaces(self, allowables: Allowables) -> tuple[Piece, ...]:
        """Pieces of the failure surface."""

    @checked
    def ratio(self, values: State, allowables: Allowables, *, residual: Residual = None) -> Array:
        """Strength ratio: the factor on the load at which the criterion is met.

        Parameters
        ----------
        values : array_like, shape (..., 3)
            Ply stress [Pa] or strain [-] that grows with the load.
        allowables : Allowables
            Strengths or failure strains of the ply.
        residual : array_like, shape (..., 3), optional
            Ply stress [Pa] or strain [-] that stays fixed (cure, moisture). As a strain it is total less free strain.

        Returns
        -------
        ndarray, shape (...)
            R: R values + residual meets the criterion. inf if it is never met (zero load), 0 if the residual
            alone violates it [-].

        Raises
        ------
        ValueError
            If shapes do not fit, a value is not finite, or the allowables do not suit the criterion.
        """
        x, r = read_states(values, residual)
        return self._ratio(x, allowables, r)

    @checked
    def mode(self, values: State, allowables: Allowables, *, residual: Residual = None) -> ModeArray:
        """Mode in which the criterion is first met; arguments as `ratio`.

        Returns
        -------
        ndarray of int8, shape (...)
            Values of `Mode`; NONE where the ratio is infinite [-].

        Notes
        -----
        A single quadratic surface tells no mode: there, it is that of the stress nearest its own strength at the
        failing state.
        """
        x, r = read_states(values, residual)
        return self._ratio_and_mode(x, allowables, r)[1]

    @checked
    def surfaces(self, allowables: Allowables) -> tuple[Piece, ...]:
        """Pieces of the failure surface.

        Parameters
        ----------
        allowables : Allowables
            Strengths or failure strains of the ply.

        Returns
        -------
        tuple
            One for each mode and range; polynomials of at most second degree but for the compressive modes of LaRC03.
        """
        return self._surfaces(allowables)

    def _ratio(self, values: Array, allowables: Allowables, residual: Array | None = None) -> Array:
        """`ratio` of checked arrays."""
        return first_ratio(self._surfaces(allowables), values, residual)

    def _ratio_and_mode(
        self, values: Array, allowables: Allowables, residual: Array | None = None
    ) -> tuple[Array, ModeArray]:
        """`ratio` and `mode` of checked arrays."""
        pieces = self._surfaces(allowables)
        ratio, mode = first_crossing(pieces, values, residual)
        if any(piece.mode is Mode.NONE for piece in pieces):
            mode = np.where(mode == Mode.NONE, dominant_mode(ratio, values, allowables, residual), mode)
        return ratio, mode


def read_states(values: Any, residual: Any) -> tuple[Array, Array | None]:
    """Checked values and residual, whose shapes must broadcast."""
    if residual is not None:
        common_shape("criterion: values, residual", values.shape, residual.shape)
    return np.asarray(values), residual
