"""The house rules as tests: who may import whom, what stays light, how long files are, what docstrings owe."""

import ast
import importlib
import inspect
import pkgutil
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
PACKAGES = ("materials", "laminate", "beam")
FILES = sorted(path for package in PACKAGES for path in (ROOT / package).rglob("*.py"))
MAY_IMPORT = {"materials": set(), "laminate": {"materials"}, "beam": {"materials", "laminate"}}
# One direction inside beam as well: a room never sees a room downstream of it.
BEAM_ROOMS = {
    "loads": set(),
    "gear": set(),
    "section": set(),
    "strut": {"section"},
}
SHARED = {"axes", "units"}
LIMIT = 300


def imports(path):
    """Yield (module, when the file is imported) of every import; relative ones are resolved."""
    tree = ast.parse(path.read_text())
    later = [node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef) or _only_for_types(node)]
    inner = {id(node) for outer in later for node in ast.walk(outer)}
    here = path.relative_to(ROOT).with_suffix("").parts
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            base = here[: len(here) - node.level] if node.level else ()
            names = [".".join([*base, *filter(None, [node.module])])]
            if not node.module or node.level == 0:
                names += [f"{names[0]}.{alias.name}" for alias in node.names]
        else:
            continue
        for name in names:
            yield name, id(node) not in inner


def _only_for_types(node):
    return isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING"


def label(path):
    return str(path.relative_to(ROOT))


def public_objects():
    """Every public function and class of the three packages, by the module that defines it."""
    for package in PACKAGES:
        root = importlib.import_module(package)
        for info in pkgutil.walk_packages(root.__path__, package + "."):
            module = importlib.import_module(info.name)
            for name, item in vars(module).items():
                if name.startswith("_") or getattr(item, "__module__", None) != info.name:
                    continue
                if inspect.isfunction(item) or inspect.isclass(item):
                    yield f"{info.name}.{name}", item
                if inspect.isclass(item):
                    for part, method in vars(item).items():
                        method = getattr(method, "__func__", method)
                        if not part.startswith("_") and inspect.isfunction(method):
                            yield f"{info.name}.{name}.{part}", method


PUBLIC = list(public_objects())


@pytest.mark.parametrize("path", FILES, ids=label)
def test_packages_import_only_downward(path):
    package = path.relative_to(ROOT).parts[0]
    used = {name.split(".")[0] for name, _ in imports(path)} & set(PACKAGES)
    assert used <= MAY_IMPORT[package] | {package}


@pytest.mark.parametrize("path", [p for p in FILES if label(p).startswith("beam/")], ids=label)
def test_rooms_of_beam_import_only_downward(path):
    room = path.relative_to(ROOT / "beam").parts[0]
    if room not in BEAM_ROOMS:
        return
    used = {name.split(".")[1] for name, _ in imports(path) if name.startswith("beam.")}
    assert used <= BEAM_ROOMS[room] | {room, *SHARED}


def test_criteria_never_see_a_laminate():
    for path in (ROOT / "laminate" / "failure").glob("*.py"):
        seen = {name for name, _ in imports(path) if name.startswith(("laminate", "beam"))}
        assert all(name.startswith("laminate.failure") for name in seen), (label(path), seen)


@pytest.mark.parametrize("path", FILES, ids=label)
def test_heavy_imports_stay_at_the_edge(path):
    for name, top in imports(path):
        head = name.split(".")[0]
        if head == "matplotlib":
            assert "plots" in path.relative_to(ROOT).with_suffix("").parts, f"matplotlib in {label(path)}"
        if head == "sympy":
            assert label(path) == "laminate/symbolic.py", f"sympy in {label(path)}"
        if head == "pandas" and top:
            assert path.stem == "tables", f"pandas at the top of {label(path)}"


@pytest.mark.parametrize("package", PACKAGES)
def test_import_stays_light(package):
    code = f"import sys, {package}; print(*{{m.split('.')[0] for m in sys.modules}})"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert not {"matplotlib", "pandas", "sympy"} & set(done.stdout.split())


@pytest.mark.parametrize("path", FILES, ids=label)
def test_a_file_holds_one_idea(path):
    assert len(path.read_text().splitlines()) <= LIMIT


def test_every_module_says_what_it_is():
    silent = [label(p) for p in FILES if not ast.get_docstring(ast.parse(p.read_text()))]
    assert not silent


@pytest.mark.parametrize(("name", "item"), PUBLIC, ids=[name for name, _ in PUBLIC])
def test_public_callables_name_every_argument(name, item):
    if inspect.isclass(item) or ".plots" in name:
        return
    kinds = {p.kind for p in inspect.signature(item).parameters.values()}
    assert inspect.Parameter.VAR_KEYWORD not in kinds, f"{name} takes **kwargs"


NUMERIC = re.compile(r"float|array|int\b|complex")
NAMES = re.compile(r"of (str|bool)\b|shape \(wall,\).*Axes|of Axes")
UNIT = re.compile(r"\[[^\]]+\]")


def entries(doc, heading):
    """(name, type, description) of the entries of one numpydoc section."""
    match = re.search(rf"^{heading}\n-+\n(.*?)(?=\n\S[^\n]*\n---|\Z)", doc, re.M | re.S)
    if not match:
        return
    blocks = re.split(r"\n(?=\S)", match.group(1))
    for block in blocks:
        head, _, text = block.partition("\n")
        name, _, kind = head.partition(" : ")
        yield name, kind or name, text


@pytest.mark.parametrize(("name", "item"), PUBLIC, ids=[name for name, _ in PUBLIC])
def test_numbers_carry_their_unit(name, item):
    doc = inspect.getdoc(item)
    assert doc, f"{name} has no docstring"
    for heading in ("Parameters", "Returns", "Attributes"):
        for argument, kind, text in entries(doc, heading):
            if NUMERIC.search(kind) and not NAMES.search(kind):
                assert UNIT.search(text) or UNIT.search(kind), f"{name}: {argument} has no [unit]"


def documented(item):
    doc = inspect.getdoc(item) or ""
    return {n.strip().lstrip("*") for names, _, _ in entries(doc, "Parameters") for n in names.split(",")}


@pytest.mark.parametrize(("name", "item"), PUBLIC, ids=[name for name, _ in PUBLIC])
def test_documented_arguments_exist(name, item):
    """A documented argument that the signature lacks is a docstring out of step with the code."""
    if inspect.isclass(item) and issubclass(item, Exception):
        return
    have = {n.lstrip("*") for n in inspect.signature(item).parameters}
    assert documented(item) <= have, f"{name}: {documented(item) - have}"


def glossary():
    """Names and units of the table in DEVELOPERS.md."""
    table = (ROOT / "DEVELOPERS.md").read_text().partition("## Glossary")[2]
    for names, unit in re.findall(r"^\| (`.+?) \|.*\| (.+?) \|$", table, re.M):
        for name in re.findall(r"`(\w+)`", names):
            yield name, unit.replace("^", "")


def test_a_name_of_the_glossary_has_one_unit():
    units = dict(glossary())
    used, clashes = set(), []
    for name, item in PUBLIC:
        for arguments, kind, text in entries(inspect.getdoc(item), "Parameters"):
            found = [unit.replace("^", "") for unit in re.findall(r"\[([^\]]+)\]", text)]
            for argument in (part.strip().lstrip("*") for part in arguments.split(",")):
                if argument in units and NUMERIC.search(kind) and not NAMES.search(kind):
                    used.add(argument)
                    if units[argument] not in (found[-1], ", ".join(found)):
                        clashes.append((name, argument, found, units[argument]))
    assert not clashes
    assert used == set(units), f"in the glossary but nowhere else: {set(units) - used}"


def test_top_level_is_the_agreed_set():
    allowed = {"README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml", *PACKAGES, "tests", "examples"}
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False).stdout
    tops = {line.split("/")[0] for line in listed.splitlines()}
    assert {t for t in tops if not t.startswith(".")} <= allowed
