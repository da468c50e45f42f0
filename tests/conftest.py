"""One thread for linear algebra: the matrices here are small, and threads that wait for each other cost minutes."""

import os

for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(name, "1")
