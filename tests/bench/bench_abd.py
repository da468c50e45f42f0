"""ABD of a million stacks of 16 plies against a plain C kernel of the same sums, one thread.

Target: at most three times the time of the C kernel, in one run and on the same data.
"""

from side_by_side import c_library, in_turn, ratio_to_c  # first: it pins the threads

# isort: split
import ctypes
import tempfile
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from laminate.batch import abd_of_choices
from laminate.lamina_stiffness import q_reduced, q_rotated

STACKS, PLIES, THICKNESS = 1_000_000, 16, 125e-6
TARGET = 3.0
SOURCE = Path(__file__).with_name("abd.c")


def main() -> float | None:
    """Print the times and return the ratio, or None without a compiler."""
    q_bar = q_rotated(q_reduced(181e9, 10.3e9, 7.17e9, 0.28), [0.0, 45.0, -45.0, 90.0])
    choice = np.random.default_rng(1).integers(0, 4, (STACKS, PLIES), dtype=np.uint8)

    def ours() -> NDArray[np.float64]:
        return abd_of_choices(choice, q_bar, THICKNESS)

    print(f"{STACKS:,} stacks of {PLIES} plies")
    with tempfile.TemporaryDirectory() as folder:
        library = c_library(SOURCE, folder)
        if library is None:
            print("no C compiler: comparison skipped")
            ((wall, processor),) = in_turn([ours], rounds=3)
            print(f"here {processor * 1e3:.1f} ms ({wall * 1e3:.1f} on the clock)")
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

        abd, expected = ours(), plain()
        size = np.abs(expected).max(axis=0)
        error = (np.abs(abd - expected) / np.where(size > 0, size, 1)).max()
        print(f"largest difference {error:.1e}")
        assert error < 1e-12, error
        del abd, expected
        ratio = 1 / ratio_to_c(plain, ours, 1 / TARGET)
    print(f"here / C {ratio:.2f} (target: at most {TARGET:g})")
    assert ratio <= TARGET, ratio
    return ratio


if __name__ == "__main__":
    main()
