"""Landing envelope of a gear: load factor and spin-up drag over attitude, mass and the state of shock and tire.

python examples/landings_of_gear.py [folder for the picture]
"""

import sys
from pathlib import Path

import tarn
from make_pictures import save

import beam
from beam.gear import VARIANTS
from beam.gear.plots import plot_landing_envelope

CHOSEN = VARIANTS[:6]


def main(folder: Path | None = None) -> None:
    """Print what governs, draw the envelope."""
    found = beam.landing_envelope(tarn.AIRPLANE, tarn.GEAR, variants=CHOSEN)
    print(
        found.governing[["condition", "mass", "variant", "load_factor", "governs"]]
        .round(3)
        .to_string(index=False)
    )
    print(
        f"largest limit load factor {found.table.loc[found.table['kind'] == 'limit', 'load_factor'].max():.3f}"
    )
    save(plot_landing_envelope(found), folder, "landings_of_gear")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else None)
