"""The pictures of the gallery: python examples/make_pictures.py [folder]. Each script of the gallery draws its own."""

import importlib
import io
import sys
from pathlib import Path

from matplotlib import pyplot as plt
from matplotlib.axes import Axes
from PIL import Image

PICTURES = Path(__file__).parent / "pictures"
GALLERY = (
    "laminate_from_code",
    "failure_envelope",
    "coupons_to_allowables",
    "in_situ_and_notch",
    "wall_buckling",
    "corner_opening",
    "section_against_mesh",
    "tapered_strut",
    "introductions_bricks",
    "braced_strut",
    "joint_margins",
    "shock_for_gear",
    "landings_of_gear",
    "drop_test_and_back",
    "gear_in_the_air",
    "alignment_under_load",
    "heat_of_brakes",
    "sizing_with_limits",
    "sensitivity_and_scatter",
    "own_regulations",
    "design_file",
    "shop_drawings",
    "plan_of_tests",
)


def save(drawn: Axes | tuple[Axes, ...], folder: Path | None, name: str) -> None:
    """Save the figure of the axes as a small picture of 64 colors, if there is a folder; close it."""
    figure = (drawn[0] if isinstance(drawn, tuple) else drawn).get_figure(root=True)
    assert figure is not None
    if folder is not None:
        folder.mkdir(parents=True, exist_ok=True)
        page = io.BytesIO()
        figure.savefig(page, dpi=72)
        Image.open(page).convert("RGB").quantize(64).save(folder / f"{name}.png", optimize=True)
    plt.close(figure)


if __name__ == "__main__":
    plt.switch_backend("Agg")
    for script in GALLERY:
        importlib.import_module(script).main(Path(sys.argv[1]) if len(sys.argv) > 1 else PICTURES)
