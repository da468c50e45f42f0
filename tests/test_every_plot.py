"""Every public plot draws on new axes when it is given none, returns what it drew on, and shows US units."""

import importlib
import inspect
import re
from pathlib import Path

import pytest
from matplotlib import pyplot as plt
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.text import Text

HELPERS = Path(__file__).parent / "helpers"
REGISTERS = [importlib.import_module(path.stem) for path in sorted(HELPERS.glob("calls_*.py"))]
DRAWS = re.compile(r"plot_|.*_figure")
PLOTS = [(f, call) for r in REGISTERS for f, call in r.CALLS.items()
         if ".plots" in f.__module__ and DRAWS.match(f.__name__)]  # fmt: skip
WITHOUT_LENGTHS = {"plot_gauges": "strain over a ratio of loads", "plot_scatter": "shares over margins"}
NO_LOAD = {
    "plot_cg_range",
    "plot_longitudinal_section",
    "plot_mandrel",
    "plot_modes",
    "plot_ply_book",
    "plot_scatter",
    "plot_section",
    "plot_tornado",
}
OWN_LOAD = {"plot_wall_load": "section forces without a level"}
US = ("[in]", "[ft]", "[lbf]", "[lbf in]", "[lbf/in]", "[psi]", "[ksi]", "[Msi]", "[degF]", "[g]", "[lb]")
SI = ("[mm]", "[m]", "[kN]", "[kN m]", "[kN/m]", "[MPa]", "[GPa]", "[degC]", "[kg]", "[N/mm]")


@pytest.mark.parametrize(("plot", "call"), PLOTS, ids=[f"{f.__module__}.{f.__name__}" for f, _ in PLOTS])
def test_plots_draw_without_axes_and_in_both_units(plot, call):
    takes = inspect.signature(plot).parameters
    drawing = {"ax", "axes"} & set(takes)
    assert drawing or inspect.signature(plot).return_annotation is Figure
    assert ("units" in takes) != (plot.__name__ in WITHOUT_LENGTHS)
    try:
        for units in ("SI", "US"):
            asked = {"units": units} if "units" in takes else {}
            out = plot(**{name: value for name, value in call.items() if name not in drawing} | asked)
            many = out.axes if isinstance(out, Figure) else out if isinstance(out, tuple) else (out,)
            assert many
            assert all(isinstance(ax, Axes) for ax in many)
            text = " ".join(
                said
                for ax in many
                for said in (ax.get_xlabel(), ax.get_ylabel(), ax.get_title(), ax.get_title(loc="left"))
            )
            assert not any(unit in text for unit in (SI if units == "US" else US[:-2])), text
        figure = many[0].get_figure(root=True)
        figure.canvas.draw()
        written = " ".join(text.get_text() for text in figure.findobj(Text))
        if plot.__module__.startswith("beam") and plot.__name__ not in NO_LOAD | set(OWN_LOAD):
            assert "limit" in written or "ultimate" in written
        if drawing:
            given = tuple(many) if "axes" in drawing else many[0]
            again = plot(**call | asked | {next(iter(drawing)): given})
            assert again is given or tuple(again) == given
    finally:
        plt.close("all")
