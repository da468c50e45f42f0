"""Drop-test plan and its way back: effective mass and travel agree, records are read, errors are measured."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from gears import trailing_gear
from numpy.testing import assert_allclose
from scipy.constants import g, inch, pound_force

from beam.gear import Bottomed
from beam.gear.landing.drop_comparison import compare_drop
from beam.gear.landing.drop_record import DropRecord, contact_time, first_loaded, read_drop
from beam.gear.landing.drop_test_plan import plan_drop_test
from beam.loads import drop_load_factor, effective_mass

MASS, HEIGHT, LIFT = 500.0, 0.4, 2 / 3
UNIT = {"mass": MASS, "lift_ratio": LIFT, "rule": effective_mass, "load_factor_rule": drop_load_factor}


@cache
def plan():
    return plan_drop_test(trailing_gear(), height=HEIGHT, ground_speed=35.0, **UNIT)


def columns(*, rate=4000.0, end=0.3, start=-0.05, clock=1.7):
    """What ideal instruments would record of the predicted drop, on a clock of their own."""
    found = plan().prediction
    time = np.arange(start, end, 1 / rate)
    down = time >= 0
    forces = found.history.forces_at(np.maximum(time, 0.0))
    return {
        "time": time + clock,
        "acceleration": np.where(down, plan().acceleration_at(np.maximum(time, 0.0)), -g),
        "stroke": np.where(down, forces.stroke, 0.0),
        "force": np.where(down, forces.ground, 0.0),
    }


def record(**changes):
    return DropRecord(**(columns() | changes))


def test_effective_mass_and_travel_belong_together():
    found = plan()
    assert found.travel == pytest.approx(found.prediction.sink.max(), abs=1e-5)
    # 23.725(b) written out, at the height that gives the speed
    d = found.travel
    assert found.effective_mass == pytest.approx(MASS * (HEIGHT + (1 - LIFT) * d) / (HEIGHT + d), rel=1e-4)
    assert found.touchdown_speed**2 == pytest.approx(2 * g * HEIGHT)
    assert found.prediction.lift_ratio == 0
    assert found.wheel_speed * 0.20 == pytest.approx(35.0)


def test_the_rules_of_the_code_are_handed_in():
    # 23.725(e) written out, with n_j of the predicted record
    found = plan()
    n_j = found.prediction.acceleration.max() / g + 1
    assert found.load_factor == pytest.approx(n_j * found.effective_mass / MASS + LIFT, rel=1e-4)
    other = replace(found, load_factor_rule=lambda n, dropped, mass, lift: 10 * n + dropped / mass + lift)
    assert other.landing_factor(2.0, 250.0) == pytest.approx(20 + 0.5 + LIFT)
    assert compare_drop(other, record()).load_factor > 20
    with pytest.raises(ValueError, match=r"test_factor.*m/s2"):
        found.landing_factor(80.0, 250.0)


def test_the_descent_is_axle_travel_plus_tire():
    found = plan().prediction
    k = int(np.argmax(found.sink))
    rise = found.gear.axle(found.stroke[k])[2] - found.gear.axle(found.stroke[0])[2]
    assert found.sink[k] == pytest.approx(rise + found.tire_deflection[k], abs=1e-9)


def test_predicted_channels_are_the_peaks_of_the_drop():
    channels, found = plan().channels, plan().prediction
    peaks = {c.quantity.split(";")[0]: c.peak for c in channels}
    assert peaks["stroke of the shock"] == pytest.approx(found.max_stroke_used)
    assert peaks["vertical force on the platform"] == pytest.approx(found.peak_ground_force)
    assert peaks["acceleration dv/dt of the dropped mass, up"] == pytest.approx(
        found.acceleration.max(), rel=1e-4
    )
    assert peaks["descent of the dropped mass since touchdown"] == pytest.approx(plan().travel, rel=1e-6)
    assert all(c.full_scale == 1.5 * c.peak and 0 < c.time_of_peak <= 0.5 for c in channels)
    assert plan().sample_rate * found.time_to_peak == pytest.approx(200)


def test_a_drop_that_bottoms_is_no_plan():
    with pytest.raises(Bottomed):
        plan_drop_test(trailing_gear(), height=1.2, **UNIT)


def test_a_perfect_record_gives_the_prediction_back():
    found = compare_drop(plan(), record())
    assert found.load_factor == pytest.approx(plan().load_factor, rel=1e-4)
    assert found.load_factor_ratio == pytest.approx(1.0, rel=1e-4)
    by_force = plan().prediction.peak_ground_force / (MASS * g) + LIFT
    assert found.load_factor_by_force == pytest.approx(by_force, rel=1e-4)
    assert found.travel == pytest.approx(plan().travel, rel=1e-3)
    assert found.mass_needed == pytest.approx(plan().effective_mass, rel=1e-3)
    for error in found.channels.values():
        assert error.peak_ratio == pytest.approx(1.0, abs=2e-4)
        assert abs(error.delay) < 3e-4
        assert error.rms < 2e-3


def test_known_errors_are_found_again():
    made = columns()
    stretched = 0.95 * made["stroke"]
    wave = 300.0 * np.sin(2 * np.pi * 100 * made["time"])
    found = compare_drop(plan(), record(stroke=stretched, force=made["force"] * 1.05))
    assert found.channels["stroke"].peak_ratio == pytest.approx(0.95, rel=1e-3)
    assert found.channels["force"].peak_ratio == pytest.approx(1.05, rel=1e-3)
    assert found.channels["force"].peak[0] == pytest.approx(
        1.05 * plan().prediction.peak_ground_force, rel=1e-3
    )
    # the root mean square of a sine is its size over sqrt(2)
    down = made["time"] > made["time"][0] + 0.06
    shaken = compare_drop(plan(), record(force=made["force"] + np.where(down, wave, 0.0)))
    error = shaken.channels["force"]
    assert error.rms == pytest.approx(300 / np.sqrt(2) / error.peak[1], rel=0.05)
    # a stroke that lags by 5 ms
    late = np.interp(made["time"] - 5e-3, made["time"], made["stroke"])
    assert compare_drop(plan(), record(stroke=late)).channels["stroke"].delay == pytest.approx(5e-3, abs=3e-4)


def test_the_clock_of_the_record_does_not_matter():
    one, other = (compare_drop(plan(), DropRecord(**columns(clock=clock))) for clock in (-3.0, 40.0))
    assert_allclose(one.time, other.time, atol=1e-9)
    assert one.load_factor == other.load_factor


def test_load_factor_counts_the_mass_that_was_dropped():
    found = compare_drop(plan(), record(), mass=1.1 * plan().effective_mass)
    assert found.load_factor - LIFT == pytest.approx(1.1 * (plan().load_factor - LIFT), rel=1e-4)


def test_less_descent_than_planned_asks_for_more_mass():
    made = columns()
    down = made["time"] >= 1.7
    found = compare_drop(plan(), record(acceleration=made["acceleration"] + 1.0 * down))
    assert found.travel < plan().travel
    assert found.mass_needed > plan().effective_mass


def test_contact_is_found_between_samples():
    time = np.linspace(0.0, 1.0, 11)
    force = np.array([0.0, 0.0, 0.0, 4.0, 40.0, 100.0, 60.0, 0.0, 30.0, 0.0, 0.0])
    assert first_loaded(force) == 3
    assert contact_time(time, force) == pytest.approx(0.25)


def write(path, made, headings):
    lines = ["# a drop", ",".join(headings), ""]
    lines += [",".join(f"{value:.9g}" for value in row) for row in zip(*made, strict=True)]
    path.write_text("\n".join(lines))
    return path


@pytest.mark.parametrize(
    ("units", "scales"),
    [
        (("s", "m/s2", "m", "N"), (1.0, 1.0, 1.0, 1.0)),
        (("ms", "g", "mm", "kN"), (1e3, 1 / g, 1e3, 1e-3)),
        (("s", "g", "in", "lbf"), (1.0, 1 / g, 1 / inch, 1 / pound_force)),
    ],
)
def test_records_come_back_from_csv_in_any_unit(tmp_path, units, scales):
    made = columns(rate=1000.0)
    order = [2, 0, 3, 1]
    names = [f"{name} [{unit}]" for name, unit in zip(made, units, strict=True)]
    values = [value * scale for value, scale in zip(made.values(), scales, strict=True)]
    path = write(
        tmp_path / "drop.csv",
        [values[i] for i in order] + [made["time"]],
        [names[i] for i in order] + ["camera [frame]"],
    )
    found = read_drop(path)
    for name, value in made.items():
        assert_allclose(getattr(found, name), value, rtol=1e-7, atol=1e-7 * np.abs(value).max())


@pytest.mark.parametrize(
    ("headings", "message"),
    [
        (["time [s]", "acceleration [g]", "stroke [m]"], "missing column: got force"),
        (["time [s]", "acceleration [ft/s2]", "stroke [m]", "force [N]"], "'acceleration': got ft/s2"),
        (["time", "acceleration [g]", "stroke [m]", "force [N]"], "'time': got none"),
        (["time [s]", "time [s]", "stroke [m]", "force [N]"], "two of that name"),
    ],
)
def test_bad_headings_are_named(tmp_path, headings, message):
    made = list(columns(rate=500.0).values())[: len(headings)]
    with pytest.raises(ValueError) as error:
        read_drop(write(tmp_path / "drop.csv", made, headings))
    assert message in str(error.value)
    assert "drop.csv" in str(error.value)


def test_bad_cells_and_empty_files_are_named(tmp_path):
    path = tmp_path / "drop.csv"
    path.write_text("time [s],acceleration [g],stroke [m],force [N]\n0,-1,0,0\n0.1,-1,x,0\n")
    with pytest.raises(ValueError, match="stroke in row 2 of numbers: got 'x'"):
        read_drop(path)
    path.write_text("time [s],acceleration [g],stroke [m],force [N]\n0,-1,0\n")
    with pytest.raises(ValueError, match="force in row 1 of numbers: got no cell"):
        read_drop(path)
    path.write_text("# nothing\n")
    with pytest.raises(ValueError, match="an empty file"):
        read_drop(path)


def slip(name, factor, offset=0.0):
    return lambda made: made | {name: made[name] * factor + offset}


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (slip("acceleration", 1 / g), "given in g?"),
        (slip("acceleration", g), "given in m/s2 under a heading of g"),
        (slip("acceleration", 1.0, g), "reads 0 in free fall"),
        (slip("acceleration", -1.0), "turn the sign"),
        (slip("stroke", 1e3), "given in mm"),
        (slip("stroke", 0.0), "not connected"),
        (slip("force", 1e-3), "given in kN"),
        (slip("time", 1e3), "given in ms"),
        (slip("time", -1.0), "rising"),
        (lambda made: made | {"time": np.append(made["time"][:-1], made["time"][-2])}, "rising"),
        (lambda made: made | {"force": made["force"][:-1]}, "equally many"),
        (lambda made: {name: value[:20] for name, value in made.items()}, "50 samples"),
        (lambda made: {name: value[250:] for name, value in made.items()}, "triggered too late"),
        (lambda made: made | {"force": np.where(made["time"] > 1.8, np.nan, made["force"])}, "NaN"),
    ],
)
def test_bad_records_are_refused_with_a_cause(change, message):
    with pytest.raises(ValueError, match="(?i)" + message.replace("?", r"\?")):
        DropRecord(**change(columns()))


def test_force_and_mass_that_do_not_fit_are_refused():
    with pytest.raises(ValueError, match="slip of units in force, or another mass"):
        compare_drop(plan(), record(force=columns()["force"] / pound_force))
    with pytest.raises(ValueError, match="another mass"):
        compare_drop(plan(), record(), mass=2 * plan().effective_mass)
    with pytest.raises(ValueError, match="past the predicted peak"):
        compare_drop(plan(), DropRecord(**columns(end=0.03)))
    with pytest.raises(ValueError, match=r"200 samples a second .* must be >= .*too coarse"):
        compare_drop(plan(), DropRecord(**columns(rate=200.0)))


def test_the_plot_shows_both_histories():
    import matplotlib

    matplotlib.use("Agg")
    from beam.gear.plots.drop_test import plot_drop_test
    from matplotlib import pyplot as plt

    found = compare_drop(plan(), record(force=1.05 * columns()["force"]))
    axes = plot_drop_test(found)
    predicted, measured = axes[2].get_lines()[0], axes[2].get_lines()[2]
    assert measured.get_ydata().max() / predicted.get_ydata().max() == pytest.approx(1.05, rel=1e-3)
    assert "+5.0%" in axes[2].get_title(loc="right")
    assert [ax.get_ylabel() for ax in axes] == ["dv/dt [g]", "stroke [mm]", "force [kN]"]
    us = plot_drop_test(found, units="US")
    assert [ax.get_ylabel() for ax in us] == ["dv/dt [g]", "stroke [in]", "force [lbf]"]
    for k, size in ((0, g), (1, inch), (2, pound_force)):
        error = list(found.channels.values())[k]
        assert_allclose(us[k].get_lines()[0].get_ydata(), error.predicted / size)
    with pytest.raises(ValueError, match="units"):
        plot_drop_test(found, units="metric")
    plt.close("all")
