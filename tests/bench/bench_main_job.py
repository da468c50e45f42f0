"""Time and memory of the main job, after installation: under 20 s and under 1 GB on two cores."""

import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

SCRIPT = Path(__file__).resolve().parents[2] / "examples" / "size_strut.py"


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        start = time.perf_counter()
        subprocess.run([sys.executable, str(SCRIPT), folder], check=True, stdout=subprocess.DEVNULL)
        took = time.perf_counter() - start
    peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024**2
    print(f"main job: {took:.1f} s (limit 20 s), {peak:.2f} GB at its peak (limit 1 GB)")
    assert took < 20
    assert peak < 1


if __name__ == "__main__":
    main()
