"""The gear goes up: reactions of bearings, locks and actuator over the travel. The Tarn's gear, invented.

python examples/gear_in_the_air.py [folder for the picture]
"""

import sys
from pathlib import Path

import tarn
from make_pictures import save
from tarn_retraction import BEARINGS, CONDITIONS, DOWN_LOCK, LINK, RETRACTING, UP_LOCK

from beam.gear.plots import plot_retraction
from beam.retraction_cases import retraction_cases


def main(folder: Path | None = None) -> None:
    """Print the largest force of every part with its condition, draw the forces over the travel."""
    cases = retraction_cases(
        RETRACTING, tarn.MOLD_LINE, bearings=BEARINGS, down_lock=DOWN_LOCK, up_lock=UP_LOCK,
        conditions=CONDITIONS, duration=6.0, steps=20, link=LINK,
    )  # fmt: skip
    print("limit loads\n", cases.worst.round(1).to_string())
    print(f"{len(cases.labels)} cases for the strut; {len(cases.assumptions)} assumptions, the first: "
          f"{cases.assumptions[0]}")  # fmt: skip
    save(plot_retraction(cases.table), folder, "gear_in_the_air")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else None)
