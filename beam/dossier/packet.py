"""All files that go to the shop and to the test lab, written to one folder."""

import os
from collections.abc import Iterable
from dataclasses import replace
from importlib.util import find_spec
from pathlib import Path
from typing import Annotated, Literal

from beam.dossier import shop
from beam.dossier.design import Design, write_ply_book, write_table
from beam.dossier.proof_tests import StaticTest, coupon_plan, element_plan, inspection_plan
from beam.dossier.tables import book_table
from beam.strength import Damage
from materials.checks import Limits, Table, checked


@checked
def write_packet(
    design: Design,
    margins: Table,
    *,
    folder: str | os.PathLike[str],
    static_test: StaticTest | None = None,
    damages: Annotated[Iterable[Damage], Limits(items=0)] = (),
    units: Literal["SI", "US"] = "SI",
) -> tuple[Path, ...]:
    """Write what the shop lays up from to ``shop/`` and the plan of tests to ``tests/``.

    Parameters
    ----------
    design : Design
        With its plies, as `Design.sized` gives it.
    margins : DataFrame
        From `beam.margins`, with the rows of joints where there are any: drawings say NOT FOR MANUFACTURE as long as a
        deciding row rests on guidance, memory or invention.
    folder : str or Path
        Where to write; made if it is not there.
    static_test : StaticTest, optional
        Plan of the static test.
    damages : sequence of Damage
        Categories for the inspection in service.
    units : {"SI", "US"}
        Units of the tables and of the drawings that are not 1 : 1.

    Returns
    -------
    tuple of Path
        The files: tables as CSV; flat patterns as SVG and, if ezdxf is installed, as one DXF file; port strut likewise.

    Raises
    ------
    ValueError
        If the design has no plies.
    OSError
        If the folder cannot be written.

    Examples
    --------
    >>> import tempfile
    >>> import beam
    >>> design = beam.Design.read("out/sized.toml")  # doctest: +SKIP
    >>> write_packet(design, sizing.margins, folder=tempfile.mkdtemp())  # doctest: +SKIP
    """
    from beam.dossier.plots import shop_drawings

    starboard, faults = design.strut, shop.release_faults(margins)
    port = replace(starboard, ply_book=shop.port_book(starboard.ply_book))
    laminae = [kind.lamina for kind in design.lattice.kinds]
    plans = {
        "coupons": coupon_plan(design.requirement, laminae),
        "elements": element_plan(margins),
        "inspection": inspection_plan(damages),
    }
    if static_test is not None:
        plans |= {
            "static_loads": static_test.loads(),
            "static_sequence": static_test.sequence(),
            "static_readings": static_test.readings(),
        }
    lists = {
        "kit": shop.kit_list(starboard, units=units),
        "drops": shop.drop_table(starboard, units=units),
        "mandrel": shop.mandrel_table(starboard, units=units),
    }
    files = []
    for part, tables in (("tests", plans), ("shop", lists)):
        (Path(folder) / part).mkdir(parents=True, exist_ok=True)
        for name, table in tables.items():
            files.append(Path(folder) / part / f"{name}.csv")
            write_table(table, files[-1])
    place = Path(folder) / "shop"
    for side, strut in (("starboard", starboard), ("port", port)):
        files += [place / f"{side}_{name}.csv" for name in ("layup", "ply_book")]
        write_table(book_table(strut, units=units), files[-2])
        write_ply_book(strut.ply_book, files[-1])
        patterns = shop.flat_patterns(strut)
        files += shop.write_svg(patterns, place / f"{side}_plies", faults=faults)
        if find_spec("ezdxf"):
            files.append(place / f"{side}_plies.dxf")
            shop.write_dxf(patterns, files[-1], faults=faults)
    files.append(place / "templates.svg")
    shop.write_templates(starboard, files[-1], faults=faults)
    return (*files, *shop_drawings(starboard, place, faults=faults, units=units))
