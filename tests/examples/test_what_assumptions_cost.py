"""The example on a small tube: mass and change of every choice, and the reason where no book holds."""

from dataclasses import dataclass, replace
from types import SimpleNamespace

import what_assumptions_cost as script
from straight_tube import TUBE

from beam import Design
from beam.sizing import size
from beam.strength import Requirement
from beam.strut import Strut

START = TUBE.strut([[2]])
REQUIREMENT = replace(TUBE.requirement, deflection_allowance=1.5)


@dataclass(frozen=True)
class SmallDesign:
    """What the script asks of a design."""

    name: str = "tube"
    requirement: Requirement = REQUIREMENT
    strut: Strut = START

    def lightest(self, loading, *, start):
        assert isinstance(start, Strut)
        return size(replace(TUBE, requirement=self.requirement, loads=loading.loads), start=start)


def printed(monkeypatch, capsys, factor, choices):
    """Lines of the table under the loads of the tube times a factor."""
    loading = SimpleNamespace(labels=["pull"], loads=TUBE.loads.times(factor))
    monkeypatch.setattr(Design, "read", lambda _: SmallDesign())
    monkeypatch.setattr(script, "loads_of", lambda _: loading)
    script.main(choices=choices)
    return capsys.readouterr().out.splitlines()[2:]


def test_it_prints_mass_and_change(monkeypatch, capsys):
    lines = printed(
        monkeypatch, capsys, 1.0, (script.AS_REQUIRED, "first ply decides", "no deflection allowance")
    )
    heavy, light = (size(replace(TUBE, requirement=one)).mass for one in (REQUIREMENT, TUBE.requirement))
    assert heavy > light
    for line, mass in zip(lines, (heavy, heavy, light), strict=True):
        assert line.split()[-3:] == [f"{mass:.4f}", f"{1e3 * (mass - heavy):+.0f}", "g"]


def test_it_says_why_there_is_no_book(monkeypatch, capsys):
    lines = printed(monkeypatch, capsys, 90.0, ("first ply decides",))
    assert lines[0].startswith("first ply decides          no book: no lay-up of the lattice holds in bay 1")
