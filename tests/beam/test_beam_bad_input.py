"""Every door of margins and sizing against what a tired engineer may hand it: refused by its name."""

import numpy as np
import pytest
from doors import doors_of, refuses, trials
from small_strut import CASES, LOADS, MOLD_LINE, REQUIREMENT, TAPE, WALLS, knocked, lattice

import beam
import beam.sizing
from beam.dossier import tables
from beam.sizing import lightest
from beam.strength import corner_unfolding as opening
from beam.strength import strain
from beam.strength.margins import check_stations
from beam.strut import Strut

LATTICE = lattice(1, most=(1, 1, 1))
COUNTS = LATTICE.candidates
STRUT = Strut(MOLD_LINE, LATTICE.book([[1, 1, 1]]))
LIGHT = LOADS.times(0.1)
FORCES = STRUT.span.forces(LIGHT, at=[0.1])[:, 0]
JUDGED = {"strut": (STRUT, "object"), "loads": (LIGHT, "object"), "requirement": (REQUIREMENT, "object")}
SIZING = lightest(LATTICE, LIGHT, REQUIREMENT, cases=CASES)

REGISTER = {
    "beam.Service": (
        beam.Service,
        {
            "name": ("cold", "text"),
            "temperature": (233.0, "positive number"),
            "moisture": (0.01, "number from 0"),
            "factors": ((knocked("impact", 0.7),), "some"),
        },
    ),
    "beam.Service.temperature_change": (
        lambda laminae: REQUIREMENT.services[0].temperature_change(TAPE, laminae),
        {"laminae": (TAPE, "object")},
    ),
    "beam.Service.allowables": (REQUIREMENT.services[0].allowables, {"lamina": (TAPE, "object")}),
    "beam.Requirement": (
        beam.Requirement,
        {
            "services": (REQUIREMENT.services, "objects"),
            "special_factor": (1.2, "positive number"),
            "special_factor_basis": ("agreed", "text"),
            "factor_of_safety": (1.5, "positive number"),
            "deflection_allowance": (1.0, "positive number"),
            "criteria": (("tsai_wu",), "names"),
            "interaction": (-0.5, "number"),
            "deflection_limit": (0.01, "positive number?"),
            "twist_limit": (0.1, "positive number?"),
            "assembly_temperature": (293.0, "positive number?"),
            "corner_opening": (True, "flag"),
        },
    ),
    "beam.margins": (
        beam.margins,
        JUDGED
        | {
            "stations": ([0.1], "stations?"),
            "cases": (CASES, "labels?"),
            "every_ply": (False, "flag"),
            "deflected": (False, "flag"),
            "whole_strut": (False, "flag"),
        },
    ),
    "beam.sizing.PlyKind": (
        beam.sizing.PlyKind,
        {
            "name": ("spanwise", "text"),
            "lamina": (TAPE, "object"),
            "angles_deg": ((45.0, -45.0), "values"),
            "walls": (WALLS, "labels"),
            "least": (0, "number from 0"),
            "most": (2, "number from 0"),
            "depth": (0.0, "number"),
            "pitch": (1.0, "positive number"),
            "least_share": (0.1, "fraction"),
        },
    ),
    "beam.sizing.Lattice": (
        beam.sizing.Lattice,
        {
            "mold_line": (MOLD_LINE, "object"),
            "stations": (LATTICE.stations, "stations"),
            "kinds": (LATTICE.kinds, "objects"),
            "drop_length": (20.0, "number from 0"),
            "most_ending": (1, "count"),
        },
    ),
    "beam.sizing.Lattice.wall_thickness": (LATTICE.wall_thickness, {"counts": (COUNTS, "counts")}),
    "beam.sizing.Lattice.wall_areal_density": (LATTICE.wall_areal_density, {"counts": (COUNTS, "counts")}),
    "beam.sizing.Lattice.book": (LATTICE.book, {"counts": ([[1, 1, 1]], "counts")}),
    "beam.sizing.lightest": (
        lightest,
        {
            "lattice": (LATTICE, "object"),
            "loads": (LIGHT, "object"),
            "requirement": (REQUIREMENT, "object"),
            "cases": (CASES, "labels?"),
            "progress": (print, "callable?"),
        },
    ),
    "beam.strength.margins.check_stations": (
        check_stations,
        {"strut": (STRUT, "object"), "loads": (LIGHT, "object")},
    ),
    "beam.strength.corner_unfolding.opening_ratios": (
        opening.opening_ratios,
        {
            "strut": (STRUT, "object"),
            "station": (0.1, "station"),
            "forces": (FORCES, "array"),
            "services": (REQUIREMENT.services, "objects"),
            "places": ([0.5], "fractions"),
            "held": (np.zeros((2, 6)), "array?"),
        },
    ),
    "beam.strength.corner_unfolding.corner_opening_ratio": (
        opening.corner_opening_ratio,
        {
            "influence": (np.ones((5, 2)), "array"),
            "quadratic": ([1.0, 1.0], "array"),
            "linear": ([1.0, 1.0], "array"),
            "fixed": ([0.0, 0.0], "array"),
            "strength": (30e6, "positive values"),
        },
    ),
    "beam.strength.strain.span_strain": (
        strain.span_strain,
        JUDGED | {"service": (REQUIREMENT.services[0], "object"), "stations": ([0.1], "stations")},
    ),
    "beam.dossier.tables.lowest": (
        tables.lowest,
        {"table": (SIZING.margins, "object"), "count": (10, "count?"), "by": ("case", "name?")},
    ),
    "beam.dossier.tables.schedule_table": (
        tables.schedule_table,
        {"sizing": (SIZING, "object"), "units": ("SI", "name")},
    ),
    "beam.dossier.tables.book_table": (
        tables.book_table,
        {"strut": (STRUT, "object"), "units": ("US", "name")},
    ),
}
EXCLUDED = {
    "beam.sizing.InfeasibleSizing": "an error, raised and not called",
    "beam.sizing.Sizing": "a result, made by `lightest` alone",
}


def test_no_door_escapes():
    offered = doors_of(beam, beam.sizing)
    assert set(offered) - set(REGISTER) == set(EXCLUDED)


@pytest.mark.parametrize("name", REGISTER)
def test_good_input_is_answered(name):
    door, arguments = REGISTER[name]
    assert door(**{key: value for key, (value, _) in arguments.items()}) is not None


@pytest.mark.parametrize(("name", "argument", "bad"), trials(REGISTER))
def test_bad_input_is_refused_by_name(name, argument, bad):
    refuses(REGISTER, name, argument, bad)
