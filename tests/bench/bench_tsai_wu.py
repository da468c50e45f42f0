"""Governing Tsai-Wu ratio of 2 million strain states in 4 ply directions, against a plain C kernel.

Both run in turn in the same process on the same data, one thread; the C kernel is the same formula compiled
with ``-O3 -march=native``. Run as a script: it prints the times and stops with an error below the target.
A second part fits how the cost of the governing ratio of a laminate grows with its number of plies.
"""

from side_by_side import ATTEMPTS, c_library, in_turn, ratio_to_c  # first: it pins the threads

# isort: split
import ctypes
import sys
import tempfile
from pathlib import Path

import numpy as np

from laminate import Laminate, Ply
from laminate.governing import governing
from laminate.lamina_stiffness import q_reduced, strain_rotation
from materials import Allowables, Lamina, Source

STATES, ANGLES, TARGET, STEEPEST = 2_000_000, (0, 45, -45, 90), 0.9, 0.1
XT, XC, YT, YC, S = 1500e6, 1500e6, 40e6, 246e6, 68e6

SOURCE = Source("S. W. Tsai, H. T. Hahn, Introduction to Composite Materials, 1980", "T300/5208")
ALLOWABLES = Allowables(
    Xt=XT, Xc=XC, Yt=YT, Yc=YC, S=S, basis="typical", condition="room, dry", source=SOURCE
)  # fmt: skip
LAMINA = Lamina(
    name="T300/5208", kind="tape", E1=181e9, E2=10.3e9, G12=7.17e9, nu12=0.28, thickness=0.125e-3, density=1600.0,
    allowables=ALLOWABLES, source=SOURCE,
)  # fmt: skip


def c_kernel(folder):
    """Compile the kernel and return it as a function from strain to ratio; None without a compiler."""
    library = c_library(Path(__file__).with_name("governing_kernel.c"), folder)
    if library is None:
        return None
    run = library.governing
    run.restype = None

    Q = q_reduced(LAMINA.E1, LAMINA.E2, LAMINA.G12, LAMINA.nu12)
    f12 = -0.5 / np.sqrt(XT * XC * YT * YC)
    f = np.array([1 / XT - 1 / XC, 1 / YT - 1 / YC, 0])
    F = np.array([[1 / (XT * XC), f12, 0], [f12, 1 / (YT * YC), 0], [0, 0, 1 / S**2]])
    to_ply = Q @ strain_rotation(ANGLES)
    linear = np.ascontiguousarray(f @ to_ply)
    G = to_ply.swapaxes(-1, -2) @ F @ to_ply
    i, j = np.array([0, 1, 2, 0, 0, 1]), np.array([0, 1, 2, 1, 2, 2])
    quadratic = np.ascontiguousarray(G[:, i, j] * np.where(i == j, 1, 2))

    def pointer(values):
        return values.ctypes.data_as(ctypes.c_void_p)

    def kernel(strain):
        ratio = np.empty(len(strain))
        run(pointer(strain), pointer(ratio), ctypes.c_long(len(strain)),
            pointer(linear), pointer(quadratic), ctypes.c_long(len(linear)))  # fmt: skip
        return ratio

    return kernel


def against_c():
    """Processor time of C over ours; None without a compiler."""
    strain = np.random.default_rng(1).normal(scale=1e-3, size=(STATES, 3))
    prepared = governing(Laminate(Ply(LAMINA, angle) for angle in ANGLES))
    with tempfile.TemporaryDirectory() as folder:
        kernel = c_kernel(folder)
        if kernel is None:
            return None
        np.testing.assert_allclose(prepared.ratio_of_strain(strain), kernel(strain), rtol=1e-10)
        print(f"{STATES:,} strain states x {len(ANGLES)} ply directions")
        return ratio_to_c(lambda: kernel(strain), lambda: prepared.ratio_of_strain(strain), TARGET)


def growth_with_plies():
    """Fitted exponent of the processor time of the governing ratio over the number of plies."""
    deformation = np.random.default_rng(2).normal(size=(200_000, 6)) * [1e-3, 1e-3, 1e-3, 1, 1, 1]
    counts = np.array([4, 16, 64, 256])
    stacks = [governing(Laminate(Ply(LAMINA, a) for a in ANGLES * (count // 4))) for count in counts]
    for _ in range(ATTEMPTS):
        times = [t for _, t in in_turn([lambda p=p: p.ratio(deformation) for p in stacks])]
        exponent = np.polyfit(np.log(counts), np.log(times), 1)[0]
        each = ", ".join(f"{n} plies {t * 1e3:.1f} ms" for n, t in zip(counts, times, strict=True))
        print(f"{len(deformation):,} load cases: {each}: time ~ plies^{exponent:.3f}")
        if exponent <= STEEPEST:
            break
    return exponent


if __name__ == "__main__":
    ratio = against_c()
    if ratio is None:
        print("no C compiler found: comparison skipped")
    if growth_with_plies() > STEEPEST or (ratio is not None and ratio < TARGET):
        sys.exit("the target is missed")
