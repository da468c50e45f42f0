"""Governing Tsai-Wu ratio of 2 million strain states in 4 ply directions, against a plain C kernel.

Both run in the same process on the same data, one thread; the C kernel is the same formula compiled with
``-O3 -march=native``. Run as a script: it prints the times and stops with an error below the target.
A second part fits how the cost of the governing ratio of a laminate grows with its number of plies.
"""

import os

os.environ["OMP_NUM_THREADS"] = "1"  # read when numpy is imported: one thread on both sides
os.environ["OPENBLAS_NUM_THREADS"] = "1"

import ctypes
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path
from time import perf_counter

import numpy as np

from laminate import Laminate, Ply
from laminate.governing import governing
from laminate.lamina_stiffness import q_reduced, strain_rotation
from materials import Allowables, Lamina, Source

STATES, ANGLES, ROUNDS, TARGET = 2_000_000, (0, 45, -45, 90), 9, 0.9
XT, XC, YT, YC, S = 1500e6, 1500e6, 40e6, 246e6, 68e6

SOURCE = Source("S. W. Tsai, H. T. Hahn, Introduction to Composite Materials, 1980", "T300/5208")
ALLOWABLES = Allowables(
    Xt=XT, Xc=XC, Yt=YT, Yc=YC, S=S, basis="typical", condition="room, dry", source=SOURCE
)  # fmt: skip
LAMINA = Lamina(
    name="T300/5208", E1=181e9, E2=10.3e9, G12=7.17e9, nu12=0.28, thickness=0.125e-3, density=1600.0,
    allowables=ALLOWABLES, source=SOURCE,
)  # fmt: skip


def c_kernel(folder):
    """Compile the kernel and return it as a function from strain to ratio; None without a compiler."""
    compiler = shutil.which("gcc") or shutil.which("cc")
    if compiler is None:
        return None
    library = Path(folder) / "kernel.so"
    code = Path(__file__).with_name("governing_kernel.c")
    command = [compiler, "-O3", "-march=native", "-shared", "-fPIC", str(code), "-o", str(library), "-lm"]
    subprocess.run(command, check=True)
    run = ctypes.CDLL(str(library)).governing
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


def timed(call):
    start = perf_counter()
    call()
    return perf_counter() - start


def against_c():
    """Ratio of the C time to ours, best of several rounds in turn; None without a compiler."""
    strain = np.random.default_rng(1).normal(scale=1e-3, size=(STATES, 3))
    prepared = governing(Laminate(Ply(LAMINA, angle) for angle in ANGLES))
    with tempfile.TemporaryDirectory() as folder:
        kernel = c_kernel(folder)
        if kernel is None:
            return None
        np.testing.assert_allclose(prepared.ratio_of_strain(strain), kernel(strain), rtol=1e-10)
        times = [
            (timed(lambda: kernel(strain)), timed(lambda: prepared.ratio_of_strain(strain)))
            for _ in range(ROUNDS)
        ]
    c, ours = np.min(times, axis=0)
    print(f"{STATES:,} states x {len(ANGLES)} directions: C {c * 1e3:.1f} ms, here {ours * 1e3:.1f} ms,"
          f" ratio {c / ours:.2f} (target {TARGET})")  # fmt: skip
    return c / ours


def growth_with_plies():
    """Fitted exponent of the time of the governing ratio over the number of plies."""
    deformation = np.random.default_rng(2).normal(size=(200_000, 6)) * [1e-3, 1e-3, 1e-3, 1, 1, 1]
    counts, times = np.array([4, 16, 64, 256]), []
    for count in counts:
        prepared = governing(Laminate(Ply(LAMINA, angle) for angle in ANGLES * (count // 4)))
        prepared.ratio(deformation[:10])
        times.append(min(timed(lambda p=prepared: p.ratio(deformation)) for _ in range(5)))
        print(f"{count:4d} plies: {times[-1] * 1e3:6.1f} ms for {len(deformation):,} load cases")
    exponent = np.polyfit(np.log(counts), np.log(times), 1)[0]
    print(f"time ~ plies^{exponent:.3f}")
    return exponent


if __name__ == "__main__":
    ratio = against_c()
    if ratio is None:
        print("no C compiler found: comparison skipped")
    exponent = growth_with_plies()
    if (ratio is not None and ratio < TARGET) or exponent > 0.1:
        sys.exit("the target is missed")
