"""The record of a drop: read in any unit, refused with a cause and a place."""

import numpy as np
import pytest
from gear_landing import columns
from numpy.testing import assert_allclose
from scipy.constants import g, inch, pound_force
from scipy.signal import butter, sosfiltfilt

from beam.gear.landing.drop_record import UNITS, DropRecord, amplitude, contact_time, first_loaded, read_drop

HEADINGS = ["time [s]", "acceleration [m/s2]", "stroke [m]", "force [N]"]


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
    ],
)
def test_bad_records_are_refused_with_a_cause(change, message):
    with pytest.raises(ValueError, match="(?i)" + message.replace("?", r"\?")):
        DropRecord(**change(columns()))


@pytest.mark.parametrize("column", UNITS)
@pytest.mark.parametrize("value", [np.nan, np.inf])
def test_a_missing_value_is_named_with_its_place(column, value):
    made = columns()
    made[column][700] = value
    with pytest.raises(ValueError, match=rf"{column}: got {value} in row 701 of numbers, .*sample missing"):
        DropRecord(**made)


def without(made, rows):
    return {name: np.delete(values, rows) for name, values in made.items()}


@pytest.mark.parametrize(
    ("rows", "place"),
    [([0], None), ([1], 2), ([700], 701), ([700, 702, 704], 701), (slice(900, 920), 901), ([1398], 1399)],
)
def test_missing_samples_are_named_with_their_place(rows, place):
    made = without(columns(), rows)
    if place is None:
        assert DropRecord(**made).time.size == columns()["time"].size - 1
    else:
        with pytest.raises(ValueError, match=rf"a step of .* in row {place} of numbers, .*samples missing"):
            DropRecord(**made)


def test_a_slower_rate_before_touchdown_and_few_digits_of_time_are_no_gaps():
    made = columns()
    before = np.flatnonzero(made["time"] < 1.68)
    thinned = without(made, before[before % 10 != 0])
    rounded = made | {"time": np.round(made["time"], 4)}
    for kept in (thinned, rounded):
        assert_allclose(DropRecord(**kept).time, kept["time"], rtol=0)


WRONG = [
    (column, true, stated)
    for column, known in UNITS.items()
    for true in known
    for stated in known
    if true != stated and column != "force"
]


@pytest.mark.parametrize(("column", "true", "stated"), WRONG)
def test_a_column_in_another_unit_than_stated_is_refused(tmp_path, column, true, stated):
    made = columns()
    made[column] = made[column] / UNITS[column][true]
    headings = [f"{column} [{stated}]" if h.startswith(column) else h for h in HEADINGS]
    with pytest.raises(
        ValueError, match=f"drop.csv: DropRecord: .*{column if column != 'time' else 'time|speed'}"
    ):
        read_drop(write(tmp_path / "drop.csv", made.values(), headings))


def test_a_workbook_for_a_csv_file_is_refused(tmp_path):
    path = tmp_path / "drop.xlsx"
    path.write_bytes(bytes(range(256)))
    with pytest.raises(ValueError, match="UTF-8"):
        read_drop(path)


def test_a_file_that_is_not_there_is_named():
    with pytest.raises(FileNotFoundError, match="no such drop"):
        read_drop("no such drop.csv")


def content(rng, bandwidth, lines=6):
    """Random content below a bandwidth, as a function of time, and its largest value over a long fine record."""
    f, phase = rng.uniform(0.1, 1.0, lines) * bandwidth, rng.uniform(0, 2 * np.pi, lines)
    size = rng.uniform(0.2, 1.0, lines)
    return lambda t: np.sum(size * np.cos(2 * np.pi * f * t[..., None] + phase), axis=-1)


def test_a_cosine_sampled_beside_its_peak_needs_the_whole_error_bar():
    for share in (0.05, 0.2, 1 / 3):
        f, h = 20.0, share / 20.0
        # peak and trough are missed by half a step
        values = np.cos(2 * np.pi * f * h * np.array([-0.5, 0.5]))
        values = np.append(values, -values)
        error = amplitude(values, f, h) * (1 - np.cos(np.pi * share))
        assert values.max() + error == pytest.approx(1.0, rel=1e-12)


def test_the_true_peak_of_random_content_lies_within_the_error_bar():
    rng, h, used = np.random.default_rng(5), 0.004, []
    for _ in range(60):
        f = rng.uniform(20.0, 80.0)
        history = content(rng, f)
        for phase in rng.uniform(0, h, 4):
            rough, fine = phase + h * np.arange(300), phase + h / 20 * np.arange(300 * 20 - 19)
            values = history(rough)
            error = amplitude(values, f, h) * (1 - np.cos(np.pi * f * h))
            beyond = history(fine).max() - values.max()
            assert -1e-12 <= beyond <= error
            used.append(beyond / error)
    assert max(used) > 0.2  # the bar is not idle


@pytest.mark.parametrize("rate", [150.0, 200.0, 400.0])
def test_the_peaks_of_a_fine_record_lie_within_the_error_bars_of_a_coarse_one(rate):
    """The prediction through a filter of 40 Hz, sampled coarsely at every phase."""
    made, f = columns(rate=12000.0, end=0.4), 40.0
    slow = {"time": made["time"]}
    for name in ("acceleration", "stroke", "force"):
        offset = made[name][0]
        slow[name] = offset + sosfiltfilt(butter(4, 0.6 * f, fs=12000.0, output="sos"), made[name] - offset)
    stride = round(12000 / rate)
    for phase in range(0, stride, max(1, stride // 7)):
        part = DropRecord(**{name: values[phase::stride] for name, values in slow.items()}, bandwidth=f)
        for name in ("acceleration", "stroke", "force"):
            beyond = slow[name].max() - getattr(part, name).max()
            assert -1e-12 * slow[name].max() <= beyond <= part.peak_error(name)


def test_the_error_bar_falls_with_the_square_of_the_step():
    errors = [
        DropRecord(**columns(rate=rate), bandwidth=40.0).peak_error("force") for rate in (1000.0, 2000.0)
    ]
    assert errors[0] / errors[1] == pytest.approx(4.0, rel=0.01)
    record = DropRecord(**columns(rate=2000.0), bandwidth=40.0)
    h = record.widest_step
    assert h == pytest.approx(5e-4)
    parabola = 0.5 * np.ptp(record.force) * (np.pi * 40.0 * h) ** 2 / 2
    assert record.peak_error("force") == pytest.approx(parabola, rel=0.01)


def test_a_bandwidth_accepts_few_samples_but_not_too_few():
    made = columns(rate=100.0, end=0.35)
    assert len(made["time"]) < 50
    with pytest.raises(ValueError, match="50 samples or more; with the bandwidth"):
        DropRecord(**made)
    assert DropRecord(**made, bandwidth=20.0).peak_error("stroke") > 0
    with pytest.raises(ValueError, match="fewer than three samples in a period"):
        DropRecord(**made, bandwidth=40.0)
    with pytest.raises(ValueError, match="8 samples or more"):
        DropRecord(**{name: values[:7] for name, values in made.items()}, bandwidth=10.0)
    with pytest.raises(ValueError, match=r"bandwidth .* never guessed"):
        DropRecord(**columns()).peak_error("force")


def test_the_bandwidth_is_read_with_the_file(tmp_path):
    made = columns(rate=100.0, end=0.35)
    path = write(tmp_path / "drop.csv", made.values(), HEADINGS)
    assert read_drop(path, bandwidth=20.0).bandwidth == 20.0
    with pytest.raises(ValueError, match="50 samples"):
        read_drop(path)
