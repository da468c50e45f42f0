"""The rules of the library as tests: who may import whom, what stays light, what names and docstrings owe."""

import ast
import collections
import doctest
import importlib
import inspect
import pickle
import re
import subprocess
import sys

import numpy as np
import pytest
from source import (
    FILES,
    PACKAGES,
    ROOT,
    check_lines,
    circles,
    documented,
    import_graph,
    imports,
    label,
    modules,
    parsed,
    public_items,
    public_methods,
    sections,
)

from beam import lightest
from beam.sizing import size

# What each package may import beside itself and what is shared by all of beam.
MAY_IMPORT = {
    "materials": set(),
    "laminate": {"materials"},
    "beam.axes": {"materials"},
    "beam.units": {"materials"},
    "beam.version": set(),
    "beam.plots": {"materials"},
    "beam.flexibility": {"materials"},
    "beam.loads": {"materials"},
    "beam.gear": {"materials", "beam.loads"},
    "beam.section": {"materials", "laminate"},
    "beam.strut": {"materials", "laminate", "beam.section"},
    "beam.strut_cases": {"materials", "beam.loads", "beam.gear", "beam.strut"},
    "beam.retraction_cases": {"materials", "beam.gear", "beam.strut", "beam.strut_cases"},
    "beam.wheel_alignment": {"materials", "beam.gear", "beam.strut"},
    "beam.strength": {"materials", "laminate", "beam.section", "beam.strut"},
    "beam.joints": {"materials", "laminate", "beam.section", "beam.strut", "beam.strength"},
    "beam.sizing": {"materials", "laminate", "beam.section", "beam.strut", "beam.strength", "beam.joints"},
    "beam.dossier": {"materials", "laminate", "beam.loads", "beam.gear", "beam.section", "beam.strut", "beam.strength",
                     "beam.joints", "beam.sizing", "beam.strut_cases"},
}  # fmt: skip
SHARED = {"beam.axes", "beam.plots", "beam.units", "beam.flexibility", "beam.version"}
SAME_NAME = {"__init__.py", "plots.py"}
PUBLIC = public_items()
METHODS = [pair for _, item in PUBLIC if inspect.isclass(item) for pair in public_methods(item)]


def part_of(name):
    """The entry of `MAY_IMPORT` that a module belongs to, or None for `beam` itself."""
    head, _, rest = name.partition(".")
    return head if head != "beam" else f"beam.{rest.partition('.')[0]}" if rest else None


def test_packages_import_only_downward():
    for name, used in import_graph(FILES).items():
        part = part_of(name)
        if part is not None:
            over = {part_of(one) for one in used} - {part, None} - MAY_IMPORT[part] - SHARED
            assert not over, f"{name} imports {over}"


def test_no_module_imports_itself_through_others():
    assert not circles(import_graph(FILES))


def test_a_circle_made_on_purpose_is_found(tmp_path):
    """Also through an import inside a function and one for types only."""
    (tmp_path / "pack").mkdir()
    texts = {"__init__": "", "one": "from pack.two import f", "three": "def h():\n    from pack import one\n"}
    texts["two"] = "from typing import TYPE_CHECKING\nif TYPE_CHECKING:\n    from pack.three import h\n"
    for name, text in texts.items():
        (tmp_path / "pack" / f"{name}.py").write_text(text)
    graph = import_graph(sorted((tmp_path / "pack").glob("*.py")), tmp_path)
    assert circles(graph) == [["pack.one", "pack.three", "pack.two"]]


def test_criteria_never_see_a_laminate():
    for path in (ROOT / "laminate" / "failure").glob("*.py"):
        seen = {name for name, _ in imports(path) if name.startswith(("laminate", "beam"))}
        assert all(name.startswith("laminate.failure") for name in seen), (label(path), seen)


def test_heavy_imports_stay_at_the_edge():
    for path in FILES:
        for name, top in imports(path):
            head = name.split(".")[0]
            if head == "matplotlib":
                assert "plots" in path.relative_to(ROOT).with_suffix("").parts, f"matplotlib in {label(path)}"
            if head == "sympy":
                assert label(path) == "laminate/symbolic.py", f"sympy in {label(path)}"
            if head == "pandas":
                assert not top or "dossier" in path.parts, f"pandas at the top of {label(path)}"


@pytest.mark.parametrize("package", PACKAGES)
def test_import_stays_light(package):
    """No heavy library, and less than 0.2 s of processor time beyond numpy: the least of three runs."""
    code = (
        "import time, numpy; start = time.process_time(); import sys, " + package + "; "
        "print(time.process_time() - start, *{m.split('.')[0] for m in sys.modules})"
    )
    runs = [
        subprocess.run(
            [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True
        ).stdout.split()
        for _ in range(3)
    ]
    assert not {"matplotlib", "pandas", "sympy"} & set(runs[0])
    assert min(float(run[0]) for run in runs) < 0.2


@pytest.mark.parametrize("name", ["materials", "laminate"])
def test_a_foreign_file_of_the_name_of_a_package_is_named(tmp_path, name):
    (tmp_path / f"{name}.py").write_text("")
    (tmp_path / "script.py").write_text(f"import sys\nsys.path.append({str(ROOT)!r})\nimport beam\n")
    done = subprocess.run(
        [sys.executable, "script.py"], cwd=tmp_path, capture_output=True, text=True, check=False
    )
    assert f"Python finds {tmp_path / name}.py first" in done.stderr


def test_file_names_are_unique():
    names = collections.Counter(path.name for path in FILES if path.name not in SAME_NAME)
    assert not [name for name, count in names.items() if count > 1]


def test_a_lazy_name_is_no_module_of_its_package():
    """Importing the module would put it in the place of the name."""
    for module in modules():
        lazy = {n for n in getattr(module, "__all__", ()) if n not in vars(module)}
        for name in lazy if hasattr(module, "__path__") else ():
            place = ROOT.joinpath(*module.__name__.split("."), name)
            assert inspect.ismodule(getattr(module, name)) or not (
                place.with_suffix(".py").exists() or place.is_dir()
            ), f"{module.__name__}.{name}"


def test_beam_has_at_most_195_files():
    assert len([path for path in FILES if label(path).startswith("beam/")]) <= 195


def test_input_checks_are_at_most_a_tenth_of_the_code():
    checks = code = 0
    for path in FILES:
        if label(path) == "materials/checks.py":
            continue
        text, tree = path.read_text(), parsed(path)
        prose = {n for node in ast.walk(tree) if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)
                 for n in range(node.lineno, node.end_lineno + 1)}  # fmt: skip
        lines = {
            i
            for i, line in enumerate(text.splitlines(), 1)
            if line.strip() and not line.strip().startswith("#")
        }
        code += len(lines - prose)
        checks += len(check_lines(tree))
    assert checks <= 0.10 * code, (checks, code)


def test_every_module_says_what_it_is():
    assert not [label(p) for p in FILES if not ast.get_docstring(parsed(p))]


def test_what_is_not_public_has_one_plain_sentence():
    """Headings belong to the docstrings of public names; the rest says what it does and no more."""
    names = {name for name, _ in PUBLIC} | {name for name, _ in METHODS}
    wordy = []
    for path in FILES:
        module = ".".join(path.relative_to(ROOT).with_suffix("").parts)
        tree = parsed(path)
        inner = {
            id(sub): node.name
            for node in ast.walk(tree)
            if isinstance(node, ast.ClassDef)
            for sub in node.body
        }
        for node, doc in documented(tree):
            full = ".".join(filter(None, [module, inner.get(id(node), ""), node.name]))
            if doc and full not in names and set(sections(doc)) & {"Parameters", "Returns", "Raises"}:
                wordy.append(full)
    assert not wordy


@pytest.mark.parametrize("name", ["Examples"])
def test_public_names_carry_an_example(name):
    plain = {n for n, item in PUBLIC if inspect.isclass(item) and issubclass(item, Exception | tuple)}
    missing = [
        n
        for n, item in PUBLIC
        if n not in plain and ".plots" not in n and name not in sections(item.__doc__ or "")
    ]
    assert not missing


@pytest.fixture(scope="module")
def sized_once():
    """Examples of other modules that size the same strut share one sizing."""
    known = {}

    def once(function):
        def shared(*given, **named):
            key = function, pickle.dumps((given, named))
            if key not in known:
                known[key] = function(*given, **named)
            return known[key]

        return shared

    with pytest.MonkeyPatch.context() as patch:
        for place, function in (("beam.lightest", lightest), ("beam.sizing.size", size)):
            patch.setattr(place, once(function))
        yield


@pytest.mark.usefixtures("sized_once")
@pytest.mark.parametrize(
    "module", [m for m in modules() if ">>>" in inspect.getsource(m)], ids=lambda m: m.__name__
)
def test_examples_run(module):
    """Examples of docstrings, by doctest; numpy prints as it does by default."""
    with np.printoptions():
        failed, tried = doctest.testmod(
            module, optionflags=doctest.NORMALIZE_WHITESPACE | doctest.IGNORE_EXCEPTION_DETAIL
        )
    assert tried
    assert not failed


def test_public_callables_name_every_argument():
    for name, item in [*PUBLIC, *METHODS]:
        if not inspect.isclass(item) and ".plots" not in name:
            kinds = {p.kind for p in inspect.signature(item).parameters.values()}
            assert inspect.Parameter.VAR_KEYWORD not in kinds, f"{name} takes **kwargs"


NUMERIC = re.compile(r"float|array|int\b|complex")
NAMES = re.compile(r"of (str|bool)\b|shape \(wall,\).*Axes|of Axes")
UNIT = re.compile(r"\[[^\]]+\]")


def entries(doc, heading):
    """(name, type, description) of the entries of one numpydoc section."""
    for block in re.split(r"\n(?=\S)", sections(doc or "").get(heading, "")):
        head, _, text = block.partition("\n")
        name, _, kind = head.partition(" : ")
        if head.strip():
            yield name, kind or name, text


def test_numbers_carry_their_unit():
    bare = []
    for name, item in [*PUBLIC, *METHODS]:
        for heading in ("Parameters", "Returns", "Attributes"):
            for argument, kind, text in entries(item.__doc__, heading):
                if NUMERIC.search(kind) and not NAMES.search(kind) and not UNIT.search(kind + text):
                    bare.append(f"{name}: {argument}")
    assert not bare


def test_documented_arguments_are_the_arguments():
    """A documented argument that the signature lacks, or the reverse, is a docstring out of step with the code."""
    wrong = []
    for name, item in [*PUBLIC, *METHODS]:
        if inspect.isclass(item) and issubclass(item, Exception | tuple):
            continue
        told = {
            n.strip().lstrip("*")
            for names, _, _ in entries(item.__doc__, "Parameters")
            for n in names.split(",")
        }
        have = {n.lstrip("*") for n in inspect.signature(item).parameters} - {"self", "cls"}
        if told - have or (have - told and ".plots" not in name and not name.startswith("laminate.failure")):
            wrong.append((name, told ^ have))
    assert not wrong


def glossary():
    """Names and units of the table in DEVELOPERS.md."""
    table = (ROOT / "DEVELOPERS.md").read_text().partition("## Glossary")[2]
    for names, unit in re.findall(r"^\| (`.+?) \|.*\| (.+?) \|$", table, re.M):
        for name in re.findall(r"`(\w+)`", names):
            yield name, unit.replace("^", "")


def test_a_name_of_the_glossary_has_one_unit():
    units = dict(glossary())
    used, clashes = set(), []
    for name, item in [*PUBLIC, *METHODS]:
        for arguments, kind, text in entries(item.__doc__, "Parameters"):
            found = [unit.replace("^", "") for unit in re.findall(r"\[([^\]]+)\]", text)]
            for argument in (part.strip().lstrip("*") for part in arguments.split(",")):
                if argument in units and found and NUMERIC.search(kind) and not NAMES.search(kind):
                    used.add(argument)
                    if units[argument] not in (found[-1], ", ".join(found)):
                        clashes.append((name, argument, found, units[argument]))
    assert not clashes
    assert used == set(units), f"in the glossary but nowhere else: {set(units) - used}"


def test_beam_offers_what_it_lists():
    beam = importlib.import_module("beam")
    offered = {name for name in beam.__all__ if not name.startswith("__")}
    types = re.findall(r"import \w+ as (\w+)", (ROOT / "beam" / "__init__.py").read_text())
    assert offered == set(types), "names loaded on first use and names for type checkers differ"
    assert all(getattr(beam, name) is not None for name in offered)


def test_top_level_is_the_agreed_set():
    allowed = {"README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml", *PACKAGES, "tests", "examples"}
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False).stdout
    tops = {line.split("/")[0] for line in listed.splitlines()}
    assert {t for t in tops if not t.startswith(".")} <= allowed
