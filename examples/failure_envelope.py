"""Failure envelope of one laminate by three criteria, before and after the knockdown of a hot wet service.

python examples/failure_envelope.py [folder for the picture]
"""

import sys
from pathlib import Path

import numpy as np
from make_pictures import save

from laminate import Laminate
from laminate.failure import Hashin, MaxStress, TsaiWu
from laminate.plots import plot_envelope
from materials import Factor, Source, lamina

TAPE = lamina("IM7/8552")
WET = Factor(name="hot wet", value=0.8, on=("Xc", "Yt", "Yc", "S"), source=Source("none", note="invented"))
CRITERIA = (TsaiWu(), Hashin(), MaxStress())


def main(folder: Path | None = None) -> None:
    """Print how far a load may rise until the first ply fails, draw the envelopes."""
    stack = Laminate.from_code("[±45/0]s", TAPE)
    stress = stack.response(N=[-300e3, 0.0, 60e3]).stress  # N/m
    dry = TAPE.allowables
    assert dry is not None  # the catalog has its strengths
    for criterion in CRITERIA:
        ratio = [float(np.min(criterion.ratio(stress, one))) for one in (dry, dry.times(WET))]
        print(
            f"{type(criterion).__name__}: first ply at {ratio[0]:.3f} times the load, hot wet {ratio[1]:.3f}"
        )
    save(plot_envelope(stack, CRITERIA, plane=("x", "xy"), factors=[WET]), folder, "failure_envelope")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else None)
