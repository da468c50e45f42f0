"""What importing costs, against what its own dependencies cost in the same run."""

import subprocess
import sys
import time


def seconds(code):
    """Best of three fresh interpreters."""
    best = float("inf")
    for _ in range(3):
        start = time.perf_counter()
        subprocess.run([sys.executable, "-c", code], check=True)
        best = min(best, time.perf_counter() - start)
    return best


def test_import_takes_less_than_twice_its_dependencies():
    assert seconds("import beam, beam.gear, beam.loads, beam.sizing") < 2 * seconds(
        "import numpy, scipy.integrate"
    )
