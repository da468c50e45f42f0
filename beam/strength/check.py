"""Checks of the plies: which criterion, at limit or at ultimate load, with which strengths, and whether it decides."""

from typing import Annotated, Literal

from laminate import Laminate
from laminate.failure import (
    Criterion,
    Crush,
    FiberStrain,
    MaxStrain,
    Puck,
    ShearOffset,
    ShearStrength,
    TsaiWu,
)
from materials import Lamina, Source
from materials.checks import Frozen, Items, Limits, checked, default, reject
from materials.source import SOURCED
from materials.statistics import sampling

Level = Literal["limit", "ultimate"]
Kind = Literal["tape", "fabric", "both"]

MOST_SHARE_APART = 0.15
"""Largest difference of the share of 0 degree plies between a wall and the laminate a cap was tested on; own choice."""

_CAP = Limits(
    "-", above=0.0, at_most=0.02, cause="a magnitude, 4000 microstrain being 0.004; in percent, or a sign?"
)
_SHARE = Limits("-", at_least=0.0, at_most=1.0, cause="given in percent?", items=0)
CAP_TESTS = "ASTM D5766, D6484 (open hole), D6742 (filled hole) and D7137 (after impact)"


class Caps(Frozen, eq=True):
    """Largest fiber strain at ultimate load, from tests of notched or impacted laminates.

    Parameters
    ----------
    name : str
        What was tested, as in "open hole" or "after impact".
    tension, compression : float
        Strength of the tested laminate over its linear modulus, as magnitudes [-].
    basis : {"A", "B", "estimate", "specification", "mean", "typical", "guidance"}
        Statistical meaning; "guidance" is no allowable, and a strut judged by it is not releasable.
    condition : str
        Environment of the tests.
    source : Source
        Where the values come from.
    shares : sequence of float, length 3, optional
        Shares of 0, 45 and 90 degree plies of the tested laminate by thickness [-]; only guidance may leave it out.
    holes : sequence of float, length 2, optional
        Smallest and largest hole for which they hold [m].
    outside : {"refuse", "mark"}
        What to do with a wall whose share of 0 degree plies is more than 0.15 from that of the test.
    temperatures : sequence of float, length 2, optional
        Lowest and highest temperature of a service for which they hold; a service outside is refused [K].
    moisture : float, optional
        Highest moisture of a service for which they hold [-].
    services : sequence of str
        Names of the services that they are for, where each environment has caps of its own; none: all.
    coupons, batches : int, optional
        Size of the sample behind an A- or B-basis [-].

    Raises
    ------
    ValueError
        If the shares do not add up to 1, tested caps have none, or the sample is too small for the basis.

    Notes
    -----
    The cap is compared with the strain from load alone: the tested laminate holds its own residual stress. One set
    serves all services where it holds the lowest strain of each sense over them: on the safe side, since only the
    higher strain of a milder service is lost. Otherwise give one set for each environment.

    Tests: ASTM D5766 and D6484 (open hole), D6742 (filled hole), D7136 with D7137 (after impact).

    Examples
    --------
    >>> tested = Caps(name="after impact", tension=0.006, compression=0.0036, basis="A", condition="71 degC, wet",
    ...               shares=(0.25, 0.5, 0.25), source=Source("own tests", "invented"))
    >>> tested.guidance, GUIDANCE.guidance
    (False, True)
    """

    name: str
    tension: Annotated[float, _CAP]
    compression: Annotated[float, _CAP]
    basis: Literal["A", "B", "estimate", "specification", "mean", "typical", "guidance"]
    condition: str
    source: Annotated[Source, SOURCED]
    shares: Annotated[Items[float], _SHARE] = default(())
    holes: Annotated[Items[float], Limits("m", above=0.0, at_most=0.1, cause="given in mm?", items=0)] = (
        default(())
    )
    outside: Literal["refuse", "mark"] = "refuse"
    temperatures: Annotated[
        Items[float], Limits("K", at_least=200.0, at_most=450.0, cause="given in degC or degF?", items=0)
    ] = default(())
    moisture: Annotated[float | None, Limits("-", at_least=0.0, at_most=0.1, cause="given in percent?")] = (
        None
    )
    services: Annotated[Items[str], Limits(items=0)] = default(())
    coupons: Annotated[int | None, Limits("-", at_least=2)] = None
    batches: Annotated[int | None, Limits("-", at_least=1)] = None

    def __post_init__(self) -> None:
        super().__post_init__()
        what = f"Caps '{self.name}'"
        if not self.shares and not self.guidance:
            cause = "caps belong to a lay-up; guidance alone has none"
            reject(f"{what}: shares [-]", "none", "shares of 0, 45 and 90 degree plies", cause)
        if self.shares and (len(self.shares) != 3 or abs(sum(self.shares) - 1.0) > 0.01):
            reject(f"{what}: shares [-]", self.shares, "three that add up to 1: 0, 45 and 90 degrees")
        if self.holes and (len(self.holes) != 2 or self.holes[0] > self.holes[1]):
            reject(f"{what}: holes [m]", self.holes, "smallest and largest")
        if self.temperatures and (len(self.temperatures) != 2 or self.temperatures[0] > self.temperatures[1]):
            reject(f"{what}: temperatures [K]", self.temperatures, "lowest and highest")
        if self.basis in ("A", "B") and self.coupons is not None and self.batches is not None:
            found = sampling(self.coupons, self.batches, basis=self.basis)
            if found.basis != self.basis:
                got = f"{self.basis!r} from {found.said}"
                reject(f"{what}: basis", got, "'estimate'", "test more laminates")

    @property
    def guidance(self) -> bool:
        """Whether the values are guidance and no allowables."""
        return self.basis == "guidance"

    @property
    def criterion(self) -> FiberStrain:
        """Criterion with these two strains."""
        return FiberStrain(tension=self.tension, compression=self.compression)

    @property
    def note(self) -> str:
        """Values, basis, condition and source in one line."""
        basis = f"{self.basis}-basis" if self.basis in ("A", "B") else self.basis
        if self.guidance:
            basis = "GUIDANCE, not an allowable, not releasable"
        elif self.basis in ("A", "B") and self.coupons is not None and self.batches is not None:
            basis = sampling(self.coupons, self.batches, basis=self.basis).said
        elif self.basis in ("A", "B"):
            basis += ", sampling not stated"
        holes = f", holes {self.holes[0] * 1e3:g} to {self.holes[1] * 1e3:g} mm" if self.holes else ""
        return (
            f"caps {self.name} {-1e6 * self.compression:.0f}/{1e6 * self.tension:+.0f} microstrain, {basis}, "
            f"{self.condition}{holes}; {self.source}"
        )

    @checked
    def outside_range(self, laminate: Laminate) -> bool:
        """Whether a wall has too large or too small a share of 0 degree plies for these caps.

        Parameters
        ----------
        laminate : Laminate
            The wall.

        Returns
        -------
        bool
            True where the shares differ by more than 0.15.

        Raises
        ------
        ValueError
            If it is outside and the caps do not say ``outside="mark"``.
        """
        if not self.shares:
            return False
        share = shares(laminate)[0]
        if abs(share - self.shares[0]) <= MOST_SHARE_APART:
            return False
        if self.outside == "refuse":
            cause = 'test a laminate nearer to the wall, or state outside="mark"'
            reject(
                f"Caps '{self.name}': share of 0 degree plies of the wall [-]",
                f"{share:.3f}",
                f"within {MOST_SHARE_APART:g} of the {self.shares[0]:g} tested",
                cause,
            )
        return True


def shares(laminate: Laminate) -> tuple[float, float, float]:
    """Shares of fibers within 22.5 degrees of 0, of +-45 and of 90 degrees, by thickness; a fabric has two halves."""
    found = [0.0, 0.0, 0.0]
    for ply in laminate.plies:
        t = ply.lamina.thickness / laminate.thickness
        angles = (ply.angle_deg, ply.angle_deg + 90.0) if ply.lamina.kind == "fabric" else (ply.angle_deg,)
        for angle in angles:
            off = abs((angle + 90.0) % 180.0 - 90.0)
            found[0 if off <= 22.5 else 1 if off < 67.5 else 2] += t / len(angles)
    return found[0], found[1], found[2]


GUIDANCE = Caps(
    name="small hole or barely visible damage",
    tension=0.004,
    compression=0.003,
    basis="guidance",
    condition="hot wet",
    source=Source("own choice of the library", note="below the 8552 data known; replace by own tests"),
)
"""Caps where no laminate was tested: guidance, never an allowable."""

DECLARED_GUIDANCE = Caps(
    name="small hole or barely visible damage",
    tension=0.005,
    compression=0.004,
    basis="guidance",
    condition="hot wet",
    source=Source("industry practice", note="from memory; not safe on the 8552 data known"),
)
"""Higher caps of industry practice, which a user must declare: guidance, never an allowable."""


class Check(Frozen, eq=True):
    """One check of the plies of a strut.

    Parameters
    ----------
    criterion : Criterion
        Of `laminate.failure`.
    level : {"limit", "ultimate"}
        Load at which it must hold.
    name : str, optional
        Mode in the margin table; the name of the criterion if not given.
    services : sequence of str
        Names of the services in which it is made; none: in all.
    applies_to : {"tape", "fabric", "both"}
        Plies that it is made for.
    decides : bool
        Whether a negative margin fails the strut. Where it does not, the row stands in a table of its own.
    assumption : str, optional
        What the check rests on; printed in every row.
    in_situ : bool
        Take Yt of a tape ply in its block of plies, as `laminate.in_situ`, in place of that of the coupon.
    in_situ_shear : bool
        Take S so too, by the form of nonlinear shear, which needs GIIc and `shear_nonlinearity` of every tape.
    caps : Caps, optional
        Of a check of `laminate.failure.FiberStrain`: where its two strains come from. They are compared with the strain
        of the load alone.

    Examples
    --------
    >>> Check(criterion=TsaiWu(), level="ultimate").mode
    'tsai_wu'
    """

    criterion: Criterion
    level: Level
    name: str | None = None
    services: Annotated[Items[str], Limits(items=0)] = default(())
    applies_to: Kind = "both"
    decides: bool = True
    assumption: str | None = None
    in_situ: bool = False
    in_situ_shear: bool = False
    caps: Caps | None = None

    def __post_init__(self) -> None:
        super().__post_init__()
        if self.caps is not None and self.criterion != self.caps.criterion:
            cause = "the caps and their criterion must not differ"
            reject(f"Check '{self.mode}': criterion with caps", self.criterion, "caps.criterion", cause)
        if self.in_situ_shear and not self.in_situ:
            reject(f"Check '{self.mode}': in_situ_shear", True, "with in_situ", "S alone is not raised")
        if self.caps is None and isinstance(self.criterion, FiberStrain):
            cause = f"{CAP_TESTS} give them; GUIDANCE may stand in, which is no allowable"
            reject(f"Check '{self.mode}': caps", None, "given with their basis and source", cause)

    @property
    def mode(self) -> str:
        """Mode in the margin table."""
        return self.name or self.criterion.name

    @property
    def convex(self) -> bool:
        """Whether the safe states are a convex set, so that the outermost plies of a kind govern."""
        # Puck in plane stress: mode A is an ellipse, B a parabola, C an ellipse. B and C meet with one slope, since
        # Yc = 2 (1 + pp) RA; A and B meet at s2 = 0 with the two inclinations, convex if A falls more steeply.
        if isinstance(self.criterion, Puck):
            return self.criterion.inclination_tension >= self.criterion.inclination_compression
        return self.criterion.convex


def applies(check: Check, lamina: Lamina) -> bool:
    """Whether a check is made for plies of a lamina."""
    return check.applies_to in ("both", lamina.kind)


def refuse_environment(caps: Caps, service: str, temperature: float, moisture: float) -> None:
    """Refuse a service that is colder, hotter [K] or wetter [-] than the caps say they hold for."""
    what, cause = f"Caps '{caps.name}': service '{service}'", f"{CAP_TESTS} in that environment give them"
    if caps.temperatures and not caps.temperatures[0] <= temperature <= caps.temperatures[1]:
        limit = f"{caps.temperatures[0]:g} to {caps.temperatures[1]:g}, for which they hold"
        reject(f"{what}: temperature [K]", f"{temperature:g}", limit, cause)
    if caps.moisture is not None and moisture > caps.moisture:
        reject(f"{what}: moisture [-]", f"{moisture:g}", f"<= {caps.moisture:g}, for which they hold", cause)


def meets(check: Check, service: str) -> bool:
    """Whether a check is made in the service of a name."""
    return not check.services or service in check.services


def capped(caps: Caps, level: Level, name: str, assumption: str) -> Check:
    """Check of fiber strain within caps, in the services that they are for."""
    return Check(
        criterion=caps.criterion,
        level=level,
        name=", ".join((name, *caps.services)),
        caps=caps,
        services=caps.services,
        assumption=assumption,
    )


SCREENING = "screening: does not decide, because first-ply failure at ultimate load is no requirement"


@checked
def screening(*, decides: bool = True) -> tuple[Check, ...]:
    """Tsai-Wu and maximum strain with all knockdowns, at ultimate load.

    Parameters
    ----------
    decides : bool
        Whether they decide.

    Returns
    -------
    tuple of Check
        Two checks.

    Examples
    --------
    >>> [check.mode for check in screening()]
    ['tsai_wu', 'max_strain']
    """
    said = "first ply, with all knockdowns" if decides else SCREENING
    return tuple(
        Check(criterion=criterion, level="ultimate", decides=decides, assumption=said)
        for criterion in (TsaiWu(), MaxStrain())
    )


@checked
def recommended(caps: Caps = GUIDANCE, *others: Caps) -> tuple[Check, ...]:
    """Checks at both load levels that are recommended for a strut of tape and fabric.

    Parameters
    ----------
    caps : Caps
        Fiber strains of notched or impacted laminates; `GUIDANCE` where nothing was tested.
    *others : Caps
        Those of other environments, where each names its services.

    Returns
    -------
    tuple of Check
        "limit matrix", "limit shear", "fiber strain", "ultimate shear" and "crush".

    Notes
    -----
    Limit: no crack between the fibers of a tape (Puck), shear within the 0.2 % offset. Ultimate: fiber strain within
    caps, shear strength, transverse compression of a tape. Matrix cracks between limit and ultimate load are accepted:
    14 CFR 23.305(a) forbids permanent deformation up to limit load, 23.305(b) failure below ultimate load.

    Examples
    --------
    >>> [(check.mode, check.level) for check in recommended()][:2]
    [('limit matrix', 'limit'), ('limit shear', 'limit')]
    """
    return (
        Check(
            criterion=Puck(fiber=False),
            level="limit",
            name="limit matrix",
            applies_to="tape",
            assumption="Puck, inter-fiber modes; Yt in situ by the block of the ply, S of the coupon",
            in_situ=True,
        ),
        Check(
            criterion=ShearOffset(),
            level="limit",
            name="limit shear",
            assumption="shear strength at 0.2 % offset",
        ),
        *(capped(one, "ultimate", "fiber strain", "strain of the load alone") for one in (caps, *others)),
        Check(
            criterion=ShearStrength(),
            level="ultimate",
            name="ultimate shear",
            assumption="S at 5 % shear strain or maximum, linear G12",
        ),
        Check(
            criterion=Crush(),
            level="ultimate",
            name="crush",
            applies_to="tape",
            assumption="own choice of the library, after Puck mode C",
        ),
    )
