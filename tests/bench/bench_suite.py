"""Time of the default test run: wall and processor seconds.

python tests/bench/bench_suite.py
"""

import resource
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


def main() -> None:
    """Run the tests and print the time."""
    start = time.perf_counter()
    done = subprocess.run(
        [sys.executable, "-m", "pytest"], cwd=ROOT, capture_output=True, text=True, check=False
    )
    wall, used = time.perf_counter() - start, resource.getrusage(resource.RUSAGE_CHILDREN)
    print(done.stdout.splitlines()[-1] if done.returncode else "all passed")
    print(f"{wall:.0f} s on the clock, {used.ru_utime + used.ru_stime:.0f} s of processor time")


if __name__ == "__main__":
    main()
