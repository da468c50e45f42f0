"""One file that holds a design: airplane, gear, materials, requirement, lattice, and the ply book once it is sized."""

import csv
import hashlib
import io
import json
import os
import tempfile
import tomllib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from functools import cached_property
from pathlib import Path
from typing import Annotated, Any

import numpy as np

from beam.dossier.design_file import TableReader, near, to_table
from beam.gear import MainGear
from beam.joints import Fastener, Fitting
from beam.loads import Airplane, Equipment
from beam.sizing import Lattice, Sizing, lightest
from beam.strength import Requirement
from beam.strength.margins import INDEX
from beam.strength.ply_places import refuse_lacking
from beam.strut import Band, BookPly, MoldLine, PlyBook, Rib, Strut, Support
from beam.strut.introductions import End, check_introductions
from beam.strut_cases import DesignCases
from materials import Adhesive, ConditionedLamina, Factor, Lamina, Metal, Source
from materials.checks import (
    Frozen,
    Items,
    Limits,
    OptionalNumbers,
    Table,
    checked,
    default,
    field_hints,
    reject,
)

VERSION = 1
"""Version of the layout of the file."""

NAMED: dict[str, type] = {
    "sources": Source,
    "factors": Factor,
    "conditioned": ConditionedLamina,
    "materials": Lamina,
    "metals": Metal,
    "adhesives": Adhesive,
    "bolts": Fastener,
}
"""Tables of objects that other tables name, in the order in which they may name each other."""

_TABLES = (
    "airplane",
    "equipment",
    "gear",
    "mold_line",
    "requirement",
    "lattice",
    "supports",
    "bands",
    "ribs",
    "fittings",
)
_PLY = ("lamina", "angle_deg", "walls", "start", "end")


class Design(Frozen):
    """Everything that decides a strut, as it stands in one TOML file.

    Parameters
    ----------
    name : str
        Of the design.
    airplane : Airplane
        The weight-and-balance sheet.
    gear : MainGear
        The starboard main gear.
    mold_line : MoldLine
        Outer surface of the strut.
    lattice : Lattice
        Plies that the shop could lay, on that mold line.
    requirement : Requirement
        Services, factors and checks.
    equipment : Equipment, optional
        Ratings and points for the layout checks.
    first_counts : array_like, shape (bay, kind), optional
        Groups per side of the strut that the first landing is flown on [-].
    supports : sequence of Support, optional
        What restrains the strut; none: clamped at the root.
    bands : sequence of Band
        Where loads enter.
    ribs : sequence of Rib
        Ribs of the strut.
    root_end, tip_end : str
        Ends, as `beam.Strut` has them.
    fittings : sequence of Fitting
        Fittings of the strut with their joints.
    ply_book : PlyBook, optional
        The sized plies.
    remarks : str
        Free text, as what is invented.

    Raises
    ------
    ValueError
        If the lattice is on another mold line.

    Notes
    -----
    In the file a table holds the fields of one object under their names. A number may carry its unit as text, "42
    psi". The tables ``materials``, ``conditioned``, ``factors``, ``sources``, ``metals``, ``adhesives`` and ``bolts``
    hold objects that others name. See ``examples/tarn.toml``.

    Examples
    --------
    >>> import tarn  # examples/tarn.py
    >>> design = Design(name="Tarn", airplane=tarn.AIRPLANE, gear=tarn.GEAR, mold_line=tarn.MOLD_LINE,
    ...                 lattice=tarn.LATTICE, requirement=tarn.REQUIREMENT)
    >>> design.digest == Design.from_tables(design.tables()).digest
    True
    """

    name: str
    airplane: Airplane
    gear: MainGear
    mold_line: MoldLine
    lattice: Lattice
    requirement: Requirement
    equipment: Equipment | None = None
    first_counts: OptionalNumbers = default(None)
    supports: Annotated[Items[Support], Limits(items=0)] = default(())
    bands: Annotated[Items[Band], Limits(items=0)] = default(())
    ribs: Annotated[Items[Rib], Limits(items=0)] = default(())
    root_end: End = "warping held"
    tip_end: End = "open"
    fittings: Annotated[Items[Fitting], Limits(items=0)] = default(())
    ply_book: PlyBook | None = None
    remarks: str = "-"

    def __post_init__(self) -> None:
        super().__post_init__()
        if to_table(self.lattice.mold_line, {}) != to_table(self.mold_line, {}):
            reject("Design: mold line of the lattice", "another one", "that of the design")
        refuse_lacking(self.requirement, (kind.lamina for kind in self.lattice.kinds))
        check_introductions(self.mold_line, self.bands, self.ribs)
        names = [one.name for one in self.supports]
        if len(set(names)) < len(names):
            reject("Design: supports", names, "distinct by name")
        if self.first_counts is not None:
            self.lattice.book(np.asarray(self.first_counts).astype(int).tolist())

    @cached_property
    def strut(self) -> Strut:
        """The sized strut, or the one of `first_counts`."""
        book = self.ply_book
        if book is None:
            if self.first_counts is None:
                reject(
                    "Design: ply_book, first_counts",
                    "none",
                    "one of them",
                    "size it first, or give first_counts",
                )
            book = self.lattice.book(np.asarray(self.first_counts).astype(int).tolist())
        return Strut(
            self.mold_line,
            book,
            self.supports or None,
            bands=self.bands,
            ribs=self.ribs,
            root_end=self.root_end,
            tip_end=self.tip_end,
        )

    @property
    def digest(self) -> str:
        """First 16 digits of the SHA-256 of all that the file holds."""
        text = json.dumps(self.tables(), sort_keys=True, ensure_ascii=True)
        return hashlib.sha256(text.encode()).hexdigest()[:16]

    @checked
    def lightest(
        self,
        loading: DesignCases,
        *,
        start: Strut | None = None,
        progress: Callable[[str], None] | None = None,
    ) -> Sizing:
        """Size the strut of the design on its supports, with its bands, ribs and ends, by `beam.lightest`.

        Parameters
        ----------
        loading : DesignCases
            From `beam.design_cases`.
        start : Strut, optional
            A strut near the answer.
        progress : callable, optional
            Called with a line of text after every step.

        Returns
        -------
        Sizing
            The lightest book.
        """
        return lightest(
            self.lattice,
            loading.loads,
            self.requirement,
            cases=loading.labels,
            supports=self.supports or None,
            bands=self.bands,
            ribs=self.ribs,
            root_end=self.root_end,
            tip_end=self.tip_end,
            start=start,
            progress=progress,
        )

    def tables(self) -> dict[str, Any]:
        """Return the design as the tables of its file.

        Returns
        -------
        dict
            Of numbers, texts, lists and dicts.

        Raises
        ------
        ValueError
            If something in it is a function of the user's own.
        """
        names: dict[int, str] = {}
        named: dict[str, dict[str, Any]] = {}
        for table, kind in NAMED.items():
            seen: dict[str, Any] = {}
            for one in _inside(self, kind):
                title = getattr(one, "name", None) or one.document
                key, count = title, 1
                while key in seen and seen[key] != one:
                    count += 1
                    key = f"{title} ({count})"
                names[id(one)] = seen.setdefault(key, one) and key
            for key, one in seen.items():  # written out here, and by name everywhere else
                others = {number: name for number, name in names.items() if number != id(one)}
                named.setdefault(table, {})[key] = to_table(one, others, kind)
        out: dict[str, Any] = {"version": VERSION, "name": self.name, "remarks": self.remarks, **named}
        hints = field_hints(Design)
        for field in _TABLES:
            if (value := getattr(self, field)) is not None and value != ():
                out[field] = to_table(value, names, hints[field])
        del out["lattice"]["mold_line"]
        for field, usual in (("root_end", "warping held"), ("tip_end", "open")):
            if (word := getattr(self, field)) != usual:
                out[field] = word
        if self.first_counts is not None:
            out["first_counts"] = np.asarray(self.first_counts).astype(int).tolist()
        if self.ply_book is not None:
            plies = [to_table(ply, names, BookPly) for ply in self.ply_book.plies]
            out["plies"] = plies
        return out

    @classmethod
    @checked
    def from_tables(cls, tables: Mapping[str, Any], *, file: str = "design") -> "Design":
        """Build the design from tables.

        Parameters
        ----------
        tables : dict
            As `tables` gives them, or as they were read.
        file : str
            Name of the file, for messages.

        Returns
        -------
        Design
            The design.

        Raises
        ------
        ValueError
            If a key is unknown or missing, a unit is wrong, or a value is outside its limits: with file, table and key.
        """
        given = dict(tables)
        version = given.pop("version", None)
        if version != VERSION:
            reject(f"{file}: version", repr(version), str(VERSION), "a file of another release?")
        reader = TableReader(file, {})
        for table, kind in NAMED.items():
            for key, value in given.pop(table, {}).items():
                reader.names.append((key, reader.read(kind, value, f"{table}.{key}")))
        known = [*field_hints(cls), "plies"]
        for key in given:
            if key not in known or key == "ply_book":
                reject(f"{file}: {key}", "an unknown key", "a field of Design", near(key, known))
        if "mold_line" in given:
            reader.names.append(("mold line", reader.read(MoldLine, given["mold_line"], "mold_line")))
            given["mold_line"] = "mold line"
            if isinstance(given.get("lattice"), Mapping):
                given["lattice"] = {"mold_line": "mold line", **given["lattice"]}
        if "plies" in given:
            given["ply_book"] = {"plies": given.pop("plies")}
        made: Design = reader.make(cls, given, "design")
        return made

    @classmethod
    @checked
    def read(cls, path: str | os.PathLike[str]) -> "Design":
        """Read a design from its TOML file.

        Parameters
        ----------
        path : str or Path
            The file.

        Returns
        -------
        Design
            The design.

        Raises
        ------
        ValueError
            If the file is no TOML, or as `from_tables`.
        """
        file = Path(path)
        try:
            tables = tomllib.loads(file.read_text(encoding="utf-8-sig"))
        except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
            raise ValueError(f"{file.name}: {error}") from None
        return cls.from_tables(tables, file=file.name)

    @checked
    def write(self, path: str | os.PathLike[str]) -> None:
        """Write the design to a TOML file; `read` gives the same design, number for number.

        Parameters
        ----------
        path : str or Path
            The file; one that is there is replaced in one step.

        Raises
        ------
        ModuleNotFoundError
            If tomli-w, of the extra ``files``, is not installed.
        """
        try:
            import tomli_w
        except ModuleNotFoundError:
            raise ModuleNotFoundError("Design.write needs tomli-w: pip install plystrut[files]") from None
        write_whole(Path(path), tomli_w.dumps(self.tables()))

    @checked
    def sized(self, sizing: Sizing) -> "Design":
        """Return the design with the plies that a sizing found.

        Parameters
        ----------
        sizing : Sizing
            From `beam.lightest`.

        Returns
        -------
        Design
            With its ply book.
        """
        return replace(self, ply_book=sizing.strut.ply_book)


def _inside(thing: Any, kind: type) -> Iterator[Any]:
    """All objects of a class inside another, those inside it first."""
    if isinstance(thing, Frozen):
        if isinstance(thing, kind):
            yield thing
            return
        for name in field_hints(type(thing)):
            yield from _inside(getattr(thing, name), kind)
    elif isinstance(thing, list | tuple):
        for one in thing:
            yield from _inside(one, kind)


def write_whole(path: Path, text: str) -> None:
    """Write a file beside its place and rename it, so that no half file is ever there."""
    handle, beside = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="") as out:
            out.write(text)
        os.chmod(beside, 0o644)
        os.replace(beside, path)
    except BaseException:
        Path(beside).unlink(missing_ok=True)
        raise


@checked
def write_ply_book(book: PlyBook, path: str | os.PathLike[str]) -> None:
    """Write a ply book as a CSV file that `read_ply_book` reads back bit for bit.

    Parameters
    ----------
    book : PlyBook
        The plies.
    path : str or Path
        The file; stations in m, walls with spaces between.

    Examples
    --------
    >>> import os, tempfile
    >>> from small_tube import LATTICE  # examples/small_tube.py
    >>> book = LATTICE.book([[3], [2]])
    >>> file = os.path.join(tempfile.mkdtemp(), "book.csv")
    >>> write_ply_book(book, file)
    >>> read_ply_book(file, {ply.lamina.name: ply.lamina for ply in book.plies}) == book
    True
    """
    out = io.StringIO()
    lines = csv.writer(out, lineterminator="\n")
    lines.writerow(_PLY)
    for ply in book.plies:
        name, walls = safe_cell(ply.lamina.name), safe_cell(" ".join(ply.walls))
        lines.writerow([name, repr(ply.angle_deg), walls, repr(ply.start), repr(ply.end)])
    write_whole(Path(path), out.getvalue())


@checked
def read_ply_book(path: str | os.PathLike[str], laminae: Mapping[str, Lamina]) -> PlyBook:
    """Read a ply book from its CSV file.

    Parameters
    ----------
    path : str or Path
        The file.
    laminae : dict of str to Lamina
        By the names in the file.

    Returns
    -------
    PlyBook
        As it was written.

    Raises
    ------
    ValueError
        If a column or a lamina is unknown, or a value is not as it must be: with file and line.

    Examples
    --------
    See `write_ply_book`.
    """
    file = Path(path)
    with file.open(encoding="utf-8", newline="") as lines:
        rows = csv.DictReader(lines)
        if tuple(rows.fieldnames or ()) != _PLY:
            reject(f"{file.name}: columns", rows.fieldnames, ", ".join(_PLY))
        plies = []
        for row in rows:
            where = f"{file.name}: line {rows.line_num}"
            name = row["lamina"].removeprefix("'")
            if name not in laminae:
                reject(f"{where}: lamina", repr(name), "a known one", near(name, laminae))
            try:
                angle, start, end = (float(row[key]) for key in ("angle_deg", "start", "end"))
                walls = row["walls"].split()
                plies.append(
                    BookPly(lamina=laminae[name], angle_deg=angle, walls=walls, start=start, end=end)
                )
            except (TypeError, ValueError) as error:
                raise ValueError(f"{where}: {error}") from None
    return PlyBook(plies)


def safe_cell(text: str) -> str:
    """Text of a CSV cell that no spreadsheet takes for a formula."""
    return f"'{text}" if text[:1] in tuple("=+-@\t\r\n") else text


@checked
def write_table(table: Table, path: str | os.PathLike[str]) -> None:
    """Write a table of margins, plies, tests or any other as a CSV file, every number in full.

    Parameters
    ----------
    table : DataFrame
        The table; an index with names comes first.
    path : str or Path
        The file. Text that a spreadsheet would take for a formula gets an apostrophe in front.

    Examples
    --------
    See `read_margins`.
    """
    flat = table.reset_index(drop=table.index.names == [None])
    texts = {name: [safe_cell(str(one)) if isinstance(one, str) else one for one in flat[name].astype(object)]
             for name in flat.columns if flat[name].dtype.kind not in "fiub"}  # fmt: skip
    safe = flat.assign(**texts).rename(columns=lambda name: safe_cell(str(name)))
    write_whole(Path(path), safe.to_csv(index=False, lineterminator="\n"))


@checked
def read_margins(path: str | os.PathLike[str]) -> Table:
    """Read margins from a file of `write_table`.

    Parameters
    ----------
    path : str or Path
        The file.

    Returns
    -------
    DataFrame
        Indexed as `beam.margins`, number for number as it was written.

    Raises
    ------
    ValueError
        If it holds no margins.

    Examples
    --------
    >>> import os, tempfile
    >>> import beam
    >>> from small_tube import LATTICE, PULL, REQUIREMENT  # examples/small_tube.py
    >>> table = beam.lightest(LATTICE, PULL, REQUIREMENT).margins
    >>> file = os.path.join(tempfile.mkdtemp(), "margins.csv")
    >>> write_table(table, file)
    >>> bool((read_margins(file)["margin"].to_numpy() == table["margin"].to_numpy()).all())
    True
    """
    import pandas as pd

    table = pd.read_csv(path, dtype=str, keep_default_na=False)
    numbers = ("station", "ply", "ratio", "reserve", "margin", "angle_deg", "place")
    if missing := [name for name in (*INDEX, *numbers) if name not in table]:
        reject(f"{Path(path).name}: columns", f"no {', '.join(missing)}", "a table of margins")
    for name in table:
        if name in numbers:
            table[name] = [float(one or "nan") for one in table[name]]
        elif name == "decides":
            table[name] = table[name] == "True"
        else:
            table[name] = pd.Categorical(
                [one[1:] if safe_cell(one[1:]) == one else one or None for one in table[name]]
            )
    return table.astype({"ply": int}).set_index(list(INDEX))


@checked
def compare(old: Design, new: Design, *, margins: tuple[Table, Table] | None = None) -> Table:
    """List what changed from one design to another.

    Parameters
    ----------
    old, new : Design
        The two.
    margins : pair of DataFrame, optional
        Their margin tables, for the lowest margin of each mode.

    Returns
    -------
    DataFrame
        Columns what, old, new: every input that differs, the mass, and the lowest margins.

    Examples
    --------
    >>> from dataclasses import replace
    >>> import tarn  # examples/tarn.py
    >>> old = Design(name="Tarn", airplane=tarn.AIRPLANE, gear=tarn.GEAR, mold_line=tarn.MOLD_LINE,
    ...              lattice=tarn.LATTICE, requirement=tarn.REQUIREMENT)
    >>> new = replace(old, airplane=replace(tarn.AIRPLANE, max_mass=1260.0))
    >>> compare(old, new).values.tolist()
    [['airplane.max_mass', 1240.0, 1260.0]]
    """
    import pandas as pd

    before, after = (dict(_flat(one.tables())) for one in (old, new))
    keys = dict.fromkeys([*before, *after])
    rows = [(key, before.get(key), after.get(key)) for key in keys if before.get(key) != after.get(key)]
    if old.ply_book is not None and new.ply_book is not None:
        rows = [row for row in rows if not row[0].startswith("plies")]
        rows += [("plies", len(old.ply_book.plies), len(new.ply_book.plies))]
        rows += [("mass of the strut [kg]", old.strut.mass, new.strut.mass)]
    if margins is not None:
        low = [one.groupby(level="mode", observed=True)["margin"].min() for one in margins]
        rows += [
            (f"lowest margin, {mode}", low[0].get(mode), low[1].get(mode))
            for mode in dict.fromkeys([*low[0].index, *low[1].index])
        ]
    return pd.DataFrame(rows, columns=["what", "old", "new"], dtype=object)


def _flat(data: Any, where: str = "") -> Iterator[tuple[str, Any]]:
    """Leaves of nested tables with their places; lists of numbers whole."""
    if isinstance(data, Mapping):
        for key, value in data.items():
            yield from _flat(value, f"{where}.{key}" if where else str(key))
    elif isinstance(data, list) and any(isinstance(one, Mapping) for one in data):
        for i, one in enumerate(data):
            yield from _flat(one, f"{where}[{i}]")
    else:
        yield where, data
