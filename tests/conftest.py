"""One thread for linear algebra: the matrices here are small. Property tests draw the same examples in every run."""

import os

from hypothesis import settings

for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(name, "1")

settings.register_profile("same", derandomize=True)
settings.load_profile("same")
