"""Break the library on purpose, at random: how many of the broken copies do the tests notice?

    python tests/bench/mutants.py 20 --seed 1 --only beam/gear --tests tests/beam/gear tests/published

Each mutant changes one operator, comparison, constant, index or sign of a function and runs the tests given (those
of the package by default) on a copy of the tree, until the first failure. Survivors are printed with their line; read
them, since some are equivalent.
"""

import argparse
import ast
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


def sites(tree):
    """Every node that can be broken, with the function that breaks it in place."""
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
            elif (
                isinstance(node, ast.Constant)
                and type(node.value) in (int, float)
                and hasattr(node, "lineno")
            ):
                yield (
                    node,
                    lambda n: setattr(n, "value", n.value + 1 if type(n.value) is int else n.value * 1.1),
                )


def mutate(path, chance):
    """Source of a file with one place broken, and the place in words; None if nothing can be broken."""
    text = path.read_text()
    tree = ast.parse(text)
    found = list({id(node): (node, change) for node, change in sites(tree)}.values())
    if not found:
        return None
    node, change = chance.choice(found)
    before, line = ast.unparse(node), node.lineno
    change(node)
    return ast.unparse(tree), f"{path.relative_to(ROOT)}:{line}: {before} -> {ast.unparse(node)}"


def tests_of(path):
    """Test folders of the package that a file belongs to."""
    parts = path.relative_to(ROOT).parts
    here = ROOT.joinpath("tests", *parts[:-1])
    while not here.exists():
        here = here.parent
    return [str(here.relative_to(ROOT)), "tests/published"]


def main():
    """Break, test, count."""
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("count", type=int)
    ask.add_argument("--seed", type=int, default=0)
    ask.add_argument("--only", default="")
    ask.add_argument("--tests", nargs="*")
    given = ask.parse_args()
    chance = random.Random(given.seed)
    files = [p for top in ("materials", "laminate", "beam") for p in sorted((ROOT / top).rglob("*.py"))
             if str(p.relative_to(ROOT)).startswith(given.only) and p.stem not in ("__init__", "plots")
             and "plots" not in p.parts]  # fmt: skip
    weights = [len(p.read_text()) for p in files]
    killed, survivors = 0, []
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "copy"
        shutil.copytree(ROOT, copy, ignore=shutil.ignore_patterns(".git", ".venv*", "__pycache__", "out"))
        while killed + len(survivors) < given.count:
            path = chance.choices(files, weights)[0]
            made = mutate(path, chance)
            if made is None:
                continue
            place = copy / path.relative_to(ROOT)
            place.write_text(made[0])
            run = [sys.executable, "-m", "pytest", "-x", "-q", "-p", "no:cacheprovider", "-p", "no:xdist",
                   "-o", "addopts=--import-mode=importlib", *(given.tests or tests_of(path))]  # fmt: skip
            env = {**os.environ, "PYTHONPATH": str(copy)}
            done = subprocess.run(run, cwd=copy, env=env, capture_output=True, check=False, timeout=1200)
            place.write_text(path.read_text())
            if done.returncode:
                killed += 1
            else:
                survivors.append(made[1])
            print("killed  " if done.returncode else "SURVIVED", made[1], flush=True)
    print(f"{killed} of {given.count} killed; survivors:", *survivors, sep="\n")


if __name__ == "__main__":
    main()
