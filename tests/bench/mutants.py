"""Break the library on purpose, at random: how many of the broken copies do the tests notice?

    python tests/bench/mutants.py 20 --seed 1 --only beam/gear --tests tests/beam/gear tests/published

Each mutant changes one operator, comparison, constant, index or sign of a function and runs the tests given (those
of the package by default) on a copy of the tree, until the first failure. Survivors are printed with their line; read
them, since some are equivalent.
"""

import argparse
import ast
import itertools
import math
import os
import random
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
SWAPS = {ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult, ast.Lt: ast.LtE, ast.LtE: ast.Lt,
         ast.Gt: ast.GtE, ast.GtE: ast.Gt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq, ast.And: ast.Or, ast.Or: ast.And,
         ast.Pow: ast.Mult, ast.In: ast.NotIn, ast.NotIn: ast.In}  # fmt: skip


def other_number(value):
    """Number near the one given, never the same: the next whole number, a tenth more, or 0.001 in place of 0.0."""
    if isinstance(value, int):
        return value + 1
    return value * 1.1 if value and math.isfinite(value) else 1e-3


def sites(tree):
    """Every node of a function that can be broken, with the change that breaks it in place."""
    for function in (n for n in ast.walk(tree) if isinstance(n, ast.FunctionDef)):
        for node in ast.walk(function):
            if isinstance(node, ast.BinOp) and type(node.op) in SWAPS:
                yield node, lambda n: setattr(n, "op", SWAPS[type(n.op)]())
            elif isinstance(node, ast.Compare) and type(node.ops[0]) in SWAPS:
                yield node, lambda n: n.ops.__setitem__(0, SWAPS[type(n.ops[0])]())
            elif isinstance(node, ast.BoolOp):
                yield node, lambda n: setattr(n, "op", SWAPS[type(n.op)]())
            elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub):
                yield node, lambda n: setattr(n, "op", ast.UAdd())
            elif isinstance(node, ast.Constant) and type(node.value) in (int, float):
                yield node, lambda n: setattr(n, "value", other_number(n.value))


def in_limits(tree):
    """Nodes inside a call of `Limits`, by identity."""
    calls = (n for n in ast.walk(tree) if isinstance(n, ast.Call) and ast.unparse(n.func) == "Limits")
    return {id(node) for call in calls for node in ast.walk(call)}


def mutate(path, chance):
    """Source of a file with one place broken, the place in words, and whether a limit was broken; or None."""
    tree = ast.parse(path.read_text())
    found = list({id(node): (node, change) for node, change in sites(tree)}.values())
    if not found:
        return None
    node, change = chance.choice(found)
    before, limit = ast.unparse(node), id(node) in in_limits(tree)
    change(node)
    words = f"{path.relative_to(ROOT)}:{node.lineno}: {before} -> {ast.unparse(node)}"
    return ast.unparse(tree), words, limit


def files_of(only):
    """Library files of a folder, or the one file given; plots are judged by eye."""
    files = [p for top in ("materials", "laminate", "beam") for p in sorted((ROOT / top).rglob("*.py"))]
    return [p for p in files if f"{p.relative_to(ROOT)}/".startswith(f"{only.rstrip('/')}/" if only else "")
            and p.stem not in ("__init__", "plots") and "plots" not in p.parts]  # fmt: skip


def package_of(parts):
    """Folder whose tests belong together: `materials`, `laminate`, `beam/gear`, ..."""
    return parts[:2] if parts[0] == "beam" else parts[:1]


def tests_of(path):
    """Tests of the package of a file: its folder, and the published values named for one of its folders.

    The tests named like the file come first, since they are the likeliest to fail.
    """
    package = package_of(path.relative_to(ROOT).parts[:-1])
    folder = ROOT.joinpath("tests", *package)
    tests = list(folder.glob("test_*.py") if package == ("beam",) else folder.rglob("test_*.py"))
    for test in (ROOT / "tests/published").glob("test_*.py"):
        topic = test.stem.split("_")[1]
        tops = [p for top in ("materials", "laminate", "beam") for p in [ROOT / top, *(ROOT / top).iterdir()]]
        if package in [package_of(p.relative_to(ROOT).parts) for p in tops if p.is_dir() and p.name == topic]:
            tests.append(test)
    if path.name == "checks.py":
        tests.append(ROOT / "tests/test_refusals.py")
    tests.sort(key=lambda test: (path.stem not in test.stem, str(test)))
    return [str(test.relative_to(ROOT)) for test in tests]


def draw(only, seed):
    """Endless random mutants of the files: path, broken source, the place in words, whether a limit broke."""
    chance = random.Random(seed)
    files = files_of(only)
    weights = [len(p.read_text()) for p in files]
    while True:
        path = chance.choices(files, weights)[0]
        if made := mutate(path, chance):
            yield path, *made


def fails(folder, tests):
    """Whether the tests fail in a copy of the tree; a run without end counts as a failure."""
    run = [sys.executable, "-m", "pytest", "-x", "-q", "-p", "no:cacheprovider", "-p", "no:xdist",
           "-o", "addopts=--import-mode=importlib", *tests]  # fmt: skip
    env = {**os.environ, "PYTHONPATH": str(folder)}
    try:
        return subprocess.run(
            run, cwd=folder, env=env, capture_output=True, check=False, timeout=300
        ).returncode
    except subprocess.TimeoutExpired:
        return 1


def main():
    """Break, test, count."""
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("count", type=int)
    ask.add_argument("--seed", type=int, default=0)
    ask.add_argument("--only", default="", help="folder or file, as beam/strut")
    ask.add_argument("--tests", nargs="*", help="tests to run in place of those of the package")
    given = ask.parse_args()
    survivors = []
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "copy"
        shutil.copytree(ROOT, copy, ignore=shutil.ignore_patterns(".git", ".venv*", "__pycache__", "out"))
        if fails(
            copy, given.tests or sorted({test for path in files_of(given.only) for test in tests_of(path)})
        ):
            sys.exit("The tests fail on the unbroken tree.")
        for path, source, words, limit in itertools.islice(draw(given.only, given.seed), given.count):
            place = copy / path.relative_to(ROOT)
            kept = place.read_text()
            place.write_text(source)
            tests = given.tests or tests_of(path) + ["tests/test_refusals.py"] * limit
            if fails(copy, tests):
                print("killed  ", words, flush=True)
            else:
                print("SURVIVED", words, flush=True)
                survivors.append(words)
            place.write_text(kept)
    print(f"{given.count - len(survivors)} of {given.count} killed; survivors:", *survivors, sep="\n")


if __name__ == "__main__":
    main()
