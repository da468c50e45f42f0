"""Heat of the brakes after a landing and a rejected take-off, up to the tip of the strut. All data invented.

python examples/heat_of_brakes.py [folder for the picture]
"""

import sys
from pathlib import Path

from brake_stop import LANDING, NETWORK, REJECTED
from make_pictures import save

from beam.gear.plots import plot_brake_heat


def main(folder: Path | None = None) -> None:
    """Print the hottest of every node and when the tip of the strut is hottest, draw the temperatures."""
    found = NETWORK.temperatures([LANDING, REJECTED])
    print(found.table.round(1).to_string(index=False))
    print(f"tip of the strut {found.tip_temperature:.1f} K after {found.tip_time / 60:.0f} min")
    save(plot_brake_heat(found), folder, "heat_of_brakes")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else None)
