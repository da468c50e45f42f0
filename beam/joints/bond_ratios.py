"""Strength ratios of a bond from its stresses, and the lines of their worked margins."""

from collections.abc import Sequence

import numpy as np

from beam.joints.joint_rows import Line, given, line
from materials.checks import Array

ANGLES = np.linspace(0.0, np.pi, 19)
"""Directions of load, from tension to compression past shear, at which the plastic strength is solved [rad]."""


def less_uniform(ratio: Array, use: Array, heat: float) -> Array:
    """Plastic ratio (...) less what a uniform shear takes, which no yielding sheds.

    Of the energy of the curve, the load takes ((1 - heat) r + heat)^2 with r of `ratio`, and the uniform shear `use`.
    """
    finite = np.where(np.isfinite(ratio), ratio, 0.0)
    p = 2.0 * heat * (1.0 - heat) + finite * use
    root = np.sqrt(p**2 + 4.0 * (1.0 - heat) ** 2 * (1.0 - heat**2))
    with np.errstate(divide="ignore", invalid="ignore"):
        less = finite * 2.0 * (1.0 - heat**2) / (p + root)
    return np.where(use > 0.0, np.where(np.isfinite(ratio), less, ratio), ratio)


def plastic_ratio(load: Array, strength: Array) -> Array:
    """Factor on loads (..., 2) at failure, the strength (angle,) taken along chords between `ANGLES`."""
    size, angle = np.hypot(*np.moveaxis(load, -1, 0)), np.arctan2(abs(load[..., 1]), load[..., 0])
    i = np.clip(np.searchsorted(ANGLES, angle) - 1, 0, len(ANGLES) - 2)
    step = ANGLES[1]
    with np.errstate(divide="ignore", invalid="ignore"):
        use = np.sin(ANGLES[i + 1] - angle) / strength[i] + np.sin(angle - ANGLES[i]) / strength[i + 1]
        ratio = np.sin(step) / (size * use)
    return np.where(size > 0.0, np.where(strength[i] * strength[i + 1] > 0.0, ratio, 0.0), np.inf)


def reach(load: Sequence[Array], held: Sequence[Array], limit: float, *, tension: bool = False) -> Array:
    """R (...) with \\|R load + held\\| = limit of vectors given by parts (...); 0 where `held` alone exceeds it.

    With `tension` the last part counts where it is positive only: R is then the later root.
    """
    aa, ab, bb = (
        sum(x * y for x, y in zip(one, two, strict=True))
        for one, two in ((load, load), (load, held), (held, held))
    )
    over = bb - (np.minimum(held[-1], 0.0) ** 2 if tension else 0.0) >= limit**2
    spare = limit**2 - bb
    root = np.sqrt(np.maximum(ab**2 + aa * spare, 0.0))
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = np.where(ab > 0.0, spare / (root + ab), (root - ab) / aa)  # each without cancellation
    return np.where(over, 0.0, np.where(aa > 0.0, ratio, np.inf))


def socket_couple(V: Array, M: Array, length: float) -> tuple[Array, Array]:
    """Line load of a rigid plug in a socket at its mouth and at its end (case,) [N/m].

    V, M: shear force [N] and moment [N m] at the mouth (case,); the load is linear between.
    """
    return 4 * V / length + 6 * M / length**2, -(2 * V / length + 6 * M / length**2)


# --- lines of worked margins, each for one case and place ---------------------------------------------------


def reach_work(load: Sequence[float], held: float, strength: float, ratio: float) -> list[Line]:
    """Lines to R from the shear (along, around) of the load, the shear along of mismatch and a strength [Pa]."""
    lines = given("Pa", "along and around the tube, of the load", tx=load[0], ts=load[1])
    lines += given("Pa", "along the tube, of heat and moisture", th=held)
    lines += given("Pa", "shear strength", taup=strength)
    if ratio == 0.0:
        return [*lines, *given("-", "heat and moisture alone reach the strength", R=0.0)]
    text = "(sqrt((tx * th)^2 + (tx^2 + ts^2) * (taup^2 - th^2)) - tx * th) / (tx^2 + ts^2)"
    return [*lines, line("R", ratio, "-", text)]


def plastic_work(
    stress: Array,
    uniform: float,
    peak: Array,
    strength: Array,
    heat: float,
    use: float,
    all_plastic: float,
    size: float,
) -> tuple[float, list[Line]]:
    """Ratio and lines of the elastic-plastic strength at one end of a place.

    Shear (2,) at the end with its uniform part [Pa], peaks (2,) of unit load [1/m], strength (angle,) [N/m], share of
    heat and of the uniform shear [-], load that makes the whole bond plastic and load on it [N/m].
    """
    q1, q2 = (stress[0] - uniform) / peak[0], stress[1] / peak[1]
    ratio = float(plastic_ratio(np.array([q1, q2]), strength))
    less = float(less_uniform(np.array(ratio), np.array(use), heat))
    angle = float(np.arctan2(abs(q2), q1))
    i = int(np.clip(np.searchsorted(ANGLES, angle) - 1, 0, len(ANGLES) - 2))
    R = min(less, all_plastic / size)
    lines = [
        *given("Pa", "at the end of the bond, of the load", tx=stress[0], ts=stress[1]),
        *given("Pa", "of tx, what does not fall off along the overlap", tu=uniform),
        *given("1/m", "shear there of unit load in the plastic solution", c1=peak[0], c2=peak[1]),
        line("q1", q1, "N/m", "(tx - tu) / c1"),
        line("q2", q2, "N/m", "ts / c2"),
        line("phi", angle, "rad", "atan2(abs(q2), q1)"),
        *given(
            "rad",
            "directions in which the elastic-plastic strength was solved",
            a1=ANGLES[i],
            a2=ANGLES[i + 1],
        ),
        *given("N/m", "elastic-plastic strengths in these directions", S1=strength[i], S2=strength[i + 1]),
    ]
    if strength[i] * strength[i + 1] <= 0.0:
        return R, [*lines, *given("-", "heat and moisture alone break the bond", R=0.0)]
    text = "sin(a2 - a1) / (sqrt(q1^2 + q2^2) * (sin(a2 - phi) / S1 + sin(phi - a1) / S2))"
    lines += [line("Rp", ratio, "-", text)]
    if use > 0.0:
        lines += given("-", "shares of heat and of tu in the energy of the curve", h=heat, u=use)
        p = 2.0 * heat * (1.0 - heat) + ratio * use
        text = "2 * Rp * (1 - h^2) / (v + sqrt(v^2 + 4 * (1 - h)^2 * (1 - h^2)))"
        lines += [line("v", p, "-", "2 * h * (1 - h) + Rp * u"), line("Rq", less, "-", text)]
    lines += given("N/m", "faces x shear strength x overlap, and the load on it", Pp=all_plastic, q=size)
    return R, [
        *lines,
        line("R", R, "-", f"min({'Rq' if use > 0.0 else 'Rp'}, Pp / q)", f"{len(ANGLES)} directions"),
    ]


def peel_work(peel: float, held: float, strength: float, ratio: float) -> list[Line]:
    """Lines of the peel."""
    lines = given("Pa", "peel of the load, of heat and moisture, strength", sp=peel, sh=held, Fp=strength)
    return [*lines, line("R", ratio, "-", "max(Fp - sh, 0) / sp")]


def ply_work(
    stress: Sequence[float],
    held: Sequence[float],
    S: float,
    Zt: float,
    most: float,
    ratio: float,
    yields: bool,
) -> list[Line]:
    """Lines of the ply next to the bond under (along, around, peel) of the load and (along, peel) of mismatch [Pa].

    With `yields` the shear is at most that of the yielding bond, `most` [Pa].
    """
    lines = given(
        "Pa", "along, around and across the bond, of the load", tx=stress[0], ts=stress[1], sp=stress[2]
    )
    lines += given("Pa", "along and across the bond, of heat and moisture", th=held[0], sh=held[1])
    lines += given("Pa", "strengths of the ply", S=S, Zt=Zt)
    if yields:
        lines += given("Pa", "most shear that the bond hands over", taup=most)
        return [*lines, line("R", ratio, "-", "max(Zt * sqrt(1 - (taup / S)^2) - sh, 0) / sp")]
    if ratio == 0.0:
        return [*lines, *given("-", "heat and moisture alone reach the strength", R=0.0)]
    text = "((R * tx + th)^2 + (R * ts)^2) / S^2 + (max(R * sp + sh, 0) / Zt)^2"
    return [*lines, *given("-", "root of the next line", R=ratio), line("sum", 1.0, "-", text)]


def couple_work(
    share: float, length: float, width: float, strength: float, part: float, ratio: float
) -> list[Line]:
    """Lines of the pull of a socket's couple."""
    lines = [*given("-", "of bending and shear in the couple", share=share), *given("m", L=length, b=width)]
    lines += given("Pa", "of ply and adhesive across the bond, the lower", F=strength)
    text = "share * (4 * sqrt(F2^2 + F3^2) / L + 6 * sqrt(M2^2 + M3^2) / L^2)"
    q = part * strength * width / ratio
    return [*lines, line("q", q, "N/m", text), line("R", ratio, "-", f"{part:g} * F * b / q")]


def metal_work(
    along: float, around: float, edge: float, t2: float, faces: int, strength: float, said: str
) -> list[Line]:
    """Lines of the wall of the fitting behind the tube: loads per width [N/m], edge moment [N], strength [Pa]."""
    direct = abs(along) / (t2 * faces) + 6 * abs(edge) / t2**2
    stress = np.sqrt(direct**2 + 3 * (around / (t2 * faces)) ** 2)
    return [
        *given("N/m", "along and around the tube, at the place", nx=along, ns=around),
        *given("N", "edge moment per width", m=edge),
        *given("m", "wall of the fitting", t2=t2),
        *given("Pa", said, F=strength),
        line("s1", direct, "Pa", f"abs(nx) / ({faces} * t2) + 6 * abs(m) / t2^2"),
        line("s", stress, "Pa", f"sqrt(s1^2 + 3 * (ns / ({faces} * t2))^2)"),
        line("R", strength / stress, "-", "F / s"),
    ]


def place_work(
    moment: Array, overlap: float, y: Array, outline: tuple[float, float, float, float], flow: Array, n: Array
) -> list[Line]:
    """Lines from the section forces to the loads per width at a place: outline of perimeter, area, J2, J3."""
    perimeter, area, J2, J3 = outline
    sign = ["-" if size < 0.0 else "" for size in moment[1:]]
    return [
        *given(
            "m",
            "overlap; place on the bonded surface, its perimeter",
            L=overlap,
            y2=y[0],
            y3=y[1],
            per=perimeter,
        ),
        *given("m2", "enclosed", Ae=area),
        *given("m3", "integrals of y3^2 and y2^2 around it", J2=J2, J3=J3),
        *given("1/m", "shear flow of unit V2 and V3 there", f2=flow[0], f3=flow[1]),
        line("M2g", moment[1], "N m", f"{sign[0]}(abs(M2) + abs(F3) * L)"),
        line("M3g", moment[2], "N m", f"{sign[1]}(abs(M3) + abs(F2) * L)"),
        line("nx", n[:3].sum(), "N/m", "F1 / per + M2g * y3 / J2 - M3g * y2 / J3"),
        line("ns", n[3:].sum(), "N/m", "M1 / (2 * Ae) + F2 * f2 + F3 * f3"),
    ]
