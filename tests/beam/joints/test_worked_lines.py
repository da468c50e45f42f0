"""Lines of worked margins: a calculator reaches every margin of every joint from the printed digits."""

from types import SimpleNamespace

import numpy as np
import pytest
import tarn
import tarn_joints
from bonded import BOX, sleeve
from calculator import follow
from test_bolts import group as bolt_group  # noqa: F401

from beam.joints.joint_rows import worked_lines


def rows_worked(joint, loads, requirement, *, every=1):
    """Follow the lowest case of every row kind of a joint; how many were followed."""
    table = joint.margins(loads, requirement).reset_index()
    kinds = ["wall", "mode", "level", "service"]
    low = table.loc[table.groupby(kinds, observed=True)["margin"].idxmin()]
    groups, count = joint.judged(loads, requirement), 0
    for row in low.to_dict("records"):
        if not np.isfinite(row["ratio"]):
            continue
        found = worked_lines(groups, requirement, row)
        assert found is not None, row
        own, i, lines = found
        start = dict(zip(("F1", "F2", "F3", "M1", "M2", "M3"), (*own.force[i], *own.moment[i]), strict=True))
        ends = follow([(one.name, one.value, one.formula) for one in lines], start)
        assert ends["MS"] == pytest.approx(row["margin"], rel=1e-4, abs=1e-4)
        assert ends["R"] == pytest.approx(row["ratio"], rel=1e-4)
        count += 1
    return count
