"""A measured drop over its prediction."""

from typing import TYPE_CHECKING

from beam.gear.drop_compare import DropComparison

if TYPE_CHECKING:
    from matplotlib.axes import Axes


def plot_drop_test(
    comparison: DropComparison, *, axes: "tuple[Axes, ...] | None" = None
) -> "tuple[Axes, ...]":
    """Draw acceleration, stroke and force of a drop, measured over predicted.

    Parameters
    ----------
    comparison : DropComparison
        Measurement and prediction.
    axes : tuple of Axes, optional
        Where to draw, three of them; None makes a figure.

    Returns
    -------
    tuple of Axes
        Acceleration, stroke, force.
    """
    if axes is None:
        from matplotlib import pyplot as plt

        axes = tuple(plt.subplots(3, 1, figsize=(8, 9), sharex=True, layout="constrained")[1])
    for ax, (name, error) in zip(axes, comparison.channels.items(), strict=True):
        ax.plot(1e3 * error.time, error.predicted, "--", color="0.4", label="predicted")
        ax.plot(1e3 * error.time, error.measured, color="tab:red", label="measured")
        ax.set_ylabel(f"{name} [{error.unit}]")
        ax.set_title(
            f"peak {error.peak_ratio - 1:+.1%}, {1e3 * error.delay:+.1f} ms, rms {error.rms:.1%} of the peak",
            fontsize=10,
            loc="right",
        )
        ax.grid(alpha=0.3)
    axes[0].legend(frameon=False)
    axes[-1].set_xlabel("time since touchdown [ms]")
    axes[0].set_title(
        f"n = {comparison.load_factor:.2f}, predicted {comparison.plan.load_factor:.2f}",
        fontsize=11,
        loc="left",
    )
    return axes
