"""ABD of a million stacks of 16 plies against a plain C kernel of the same sums, one thread.

Target: at most three times the time of the C kernel, in one run and on the same data.
"""

import ctypes
import shutil
import subprocess
import tempfile
from collections.abc import Callable
from pathlib import Path
from time import perf_counter

import numpy as np
from numpy.typing import NDArray

from laminate.batch import abd_of_choices
from laminate.lamina_stiffness import q_reduced, q_rotated

STACKS, PLIES, THICKNESS = 1_000_000, 16, 125e-6
TARGET = 3.0
SOURCE = Path(__file__).with_name("abd.c")


def c_kernel(folder: str) -> ctypes.CDLL | None:
    """Compile the kernel, or return None where there is no compiler."""
    compiler = shutil.which("gcc") or shutil.which("cc")
    if compiler is None:
        return None
    library = Path(folder) / "abd.so"
    command = [compiler, "-O3", "-march=native", "-shared", "-fPIC", "-o", str(library), str(SOURCE)]
    subprocess.run(command, check=True)
    return ctypes.CDLL(str(library))


def best(run: Callable[[], NDArray[np.float64]], repeats: int = 5) -> tuple[float, NDArray[np.float64]]:
    """Shortest time of several runs [s], and the result."""
    times = []
    for _ in range(repeats):
        start = perf_counter()
        result = run()
        times.append(perf_counter() - start)
    return min(times), result


def main() -> float | None:
    """Print the times and return the ratio, or None without a compiler."""
    q_bar = q_rotated(q_reduced(181e9, 10.3e9, 7.17e9, 0.28), [0.0, 45.0, -45.0, 90.0])
    choice = np.random.default_rng(1).integers(0, 4, (STACKS, PLIES), dtype=np.uint8)
    ours, abd = best(lambda: abd_of_choices(choice, q_bar, THICKNESS))
    print(f"this library  {ours * 1e3:7.1f} ms for {STACKS} stacks of {PLIES} plies")
    with tempfile.TemporaryDirectory() as folder:
        library = c_kernel(folder)
        if library is None:
            print("no C compiler: comparison skipped")
            return None
        q6 = np.ascontiguousarray(q_bar[:, [0, 0, 0, 1, 1, 2], [0, 1, 2, 1, 2, 2]])
        pointer = ctypes.c_void_p

        def plain() -> NDArray[np.float64]:
            out = np.empty((STACKS, 6, 6))
            library.abd(
                ctypes.c_size_t(STACKS),
                ctypes.c_int(PLIES),
                pointer(choice.ctypes.data),
                pointer(q6.ctypes.data),
                ctypes.c_double(THICKNESS),
                pointer(out.ctypes.data),
            )
            return out

        theirs, expected = best(plain)
    print(f"plain C       {theirs * 1e3:7.1f} ms")
    size = np.abs(expected).max(axis=0)
    error = (np.abs(abd - expected) / np.where(size > 0, size, 1)).max()
    ratio = ours / theirs
    print(f"ratio         {ratio:7.2f}    (target: at most {TARGET:g}); largest difference {error:.1e}")
    assert error < 1e-12, error
    assert ratio <= TARGET, ratio
    return ratio


if __name__ == "__main__":
    main()
