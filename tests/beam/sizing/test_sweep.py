"""A sweep equals single sizings, whatever does the work, and an interrupt keeps what is finished."""

from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor
from dataclasses import replace
from functools import partial
from importlib.util import find_spec

import numpy as np
import pytest
from straight_tube import TUBE

from beam.sizing import size, sweep
from beam.strut import PointLoads

PULL, SIZED = TUBE.loads, size(TUBE)
WIDTHS = {"width_factor": [0.8, 1.0], "height_factor": [1.3]}


def linked(link_offset, material):
    """The tube with a wheel that pulls beside it: the offset of the link is a moment."""
    force = PULL.force / 4
    arm = [[[0.0, 0.0, link_offset]]]
    loads = PointLoads(at=PULL.at, force=force, moment=np.cross(arm, force), arm=arm)
    tape = TUBE.lattice.kinds[0].lamina
    softer = {"standard": tape, "soft": replace(tape, E1=0.7 * tape.E1)}[material]
    return replace(TUBE, loads=loads).with_laminae({tape.name: softer})


def thick(sizing, **parameters):
    return {"plies": float(sizing.counts.sum()), "area": parameters["width_factor"]}


def test_it_equals_single_sizings():
    found = sweep(TUBE.reshaped, WIDTHS, measure=thick)
    assert found.complete
    assert list(zip(found.table["width_factor"], found.table["height_factor"], strict=True)) == [
        (0.8, 1.3), (1.0, 1.3),
    ]  # fmt: skip
    for row in found.table.itertuples():
        single = size(TUBE.reshaped(width_factor=row.width_factor, height_factor=row.height_factor))
        assert row.mass == single.mass
        assert row.counts == single.counts.tolist()
        assert row.plies == single.counts.sum()
        tip = single.strut.span.displacement(PULL, at=[0.4])[0, 0]
        assert row.deflection == pytest.approx(np.linalg.norm(tip[:3]), rel=1e-12)
        assert row.twist == pytest.approx(abs(tip[3]), abs=1e-15)
        assert row.margin == single.margins.loc[single.margins["decides"], "margin"].min()


def test_material_and_link_offset():
    found = sweep(linked, {"link_offset": [0.0, 0.05], "material": ["soft"]}).table
    assert found["mass"][1] > found["mass"][0]
    standard = sweep(linked, {"link_offset": [0.05], "material": ["standard"]}).table
    assert standard["deflection"][0] != found["deflection"][1]


def known(problem):
    """The sizing of the tube, whatever is asked."""
    return SIZED


def in_reverse(function, items):
    """A function like map that works backwards."""
    return reversed([function(item) for item in reversed(items)])


def test_any_worker_gives_the_same():
    want = sweep(TUBE.reshaped, {"width_factor": [0.8, 1.0]}, size=known, measure=thick).table
    with ThreadPoolExecutor(2) as threads, ProcessPoolExecutor(1) as processes:
        for workers in (threads, processes, in_reverse, map, 1):
            found = sweep(
                TUBE.reshaped, {"width_factor": [0.8, 1.0]}, size=known, measure=thick, workers=workers
            )
            assert found.table.equals(want), workers


if find_spec("distributed"):  # an optional extra

    def test_a_dask_cluster():
        """The executor of a dask client is an executor like others."""
        from distributed import Client

        with Client(n_workers=1, processes=False, dashboard_address=None) as client:
            found = sweep(TUBE.reshaped, {"width_factor": [0.8]}, workers=client.get_executor())
        assert found.table.equals(sweep(TUBE.reshaped, {"width_factor": [0.8]}).table)


def interrupting(width_factor):
    if width_factor == 1.0:
        raise KeyboardInterrupt
    return TUBE.reshaped(width_factor=width_factor)


def test_an_interrupt_returns_what_is_finished():
    said = []
    found = sweep(interrupting, {"width_factor": [0.9, 0.8, 1.0, 1.1]}, size=known, progress=said.append)
    assert not found.complete
    assert (found.asked, found.table["width_factor"].tolist()) == (4, [0.9, 0.8])
    assert said[0].startswith("1 of 4: width_factor 0.9: ")
    assert said[0].endswith(" s left")
    assert said[-1] == "interrupted: 2 of 4 are finished and returned"
    none = sweep(interrupting, {"width_factor": [1.0]})
    assert (none.complete, len(none.table), list(none.pareto("mass"))) == (False, 0, [])


def test_what_cannot_be_sized_stays_in_the_table():
    weak = sweep(
        partial(replace(TUBE, loads=PULL.times(9.0)).reshaped, height_factor=1.0),
        {"width_factor": [1.0, 0.2]},
    )
    assert weak.table["mass"].isna().all()
    assert weak.table["note"][0].startswith("no book: ")
    assert weak.table["note"][1].startswith(("no book: ", "refused: "))
    assert weak.pareto("mass").tolist() == [False, False]


def test_pareto():
    found = sweep(TUBE.reshaped, {"width_factor": [1.0]}, size=known)
    mass, moved = [1.0, 2.0, 3.0, 1.0, np.nan], [3.0, 2.0, 2.0, 4.0, 1.0]
    five = found.table.loc[[0] * 5].reset_index(drop=True).assign(mass=mass, deflection=moved)
    assert replace(found, table=five).pareto("mass", "deflection").tolist() == [
        True,
        True,
        False,
        False,
        False,
    ]
    with pytest.raises(ValueError, match="columns"):
        found.pareto("price")


@pytest.mark.parametrize(
    ("over", "message"),
    [({"mass": [1.0]}, "columns of the result"), ({"width_factor": []}, "without values")],
)
def test_what_is_refused(over, message):
    with pytest.raises(ValueError, match=message):
        sweep(TUBE.reshaped, over)
