"""The library as source: files, imports, circles, public names. What the rules and the bench of the code read."""

import ast
import importlib
import inspect
import pkgutil
import re
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PACKAGES = ("materials", "laminate", "beam")
FILES = sorted(path for package in PACKAGES for path in (ROOT / package).rglob("*.py"))
CHECKS = {
    "array",
    "common_shape",
    "flag",
    "instance",
    "instances",
    "number",
    "one_of",
    "reject",
    "sequence",
    "text",
    "whole",
}
"""Functions of `materials.checks` that refuse."""


@cache
def parsed(path):
    """Syntax tree of a file, for reading only."""
    return ast.parse(path.read_text())


def label(path, root=ROOT):
    return str(path.relative_to(root))


def module_name(path, root=ROOT):
    parts = path.relative_to(root).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


@cache
def imports(path, root=ROOT):
    """(module, line is at the top level of the file) of every import, type-checking ones included."""
    tree, found = parsed(path), []
    later = [n for n in ast.walk(tree) if isinstance(n, ast.FunctionDef) or _only_for_types(n)]
    inner = {id(node) for outer in later for node in ast.walk(outer)}
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            here = path.relative_to(root).parts
            base = ".".join(
                [*(here[: len(here) - node.level] if node.level else ()), *filter(None, [node.module])]
            )
            names = [f"{base}.{alias.name}" for alias in node.names]
        else:
            continue
        found += [(name, id(node) not in inner) for name in names]
    return found


def _only_for_types(node):
    return isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING"


def import_graph(files, root=ROOT):
    """Files that each file imports, by module name; imports inside functions and for types count."""
    modules = {module_name(path, root): path for path in files}
    graph = {}
    for name, path in modules.items():
        used = set()
        for target, _ in imports(path, root):
            while target and target not in modules:
                target = target.rpartition(".")[0]
            if target and target != name:
                used.add(target)
        graph[name] = used
    return graph


def circles(graph):
    """Groups of modules that import each other, directly or through others."""
    reach = {}
    for start in graph:
        seen, todo = set(), list(graph[start])
        while todo:
            one = todo.pop()
            if one not in seen:
                seen.add(one)
                todo += graph[one]
        reach[start] = seen
    groups = {frozenset({a, *(b for b in reach[a] if a in reach[b])}) for a in graph if a in reach[a]}
    return sorted(sorted(group) for group in groups)


def modules():
    """Every module of the three packages, imported."""
    for package in PACKAGES:
        root = importlib.import_module(package)
        yield root
        for info in pkgutil.walk_packages(root.__path__, package + "."):
            yield importlib.import_module(info.name)


def public_items():
    """(name, object) of every function and class that an `__all__` offers, and their public methods; each once."""
    found = {}
    for module in modules():
        for name in getattr(module, "__all__", ()):
            item = getattr(module, name)
            own = getattr(item, "__module__", "").split(".")[0] in PACKAGES
            if own and (inspect.isfunction(item) or inspect.isclass(item)):
                found.setdefault(id(item), (f"{item.__module__}.{item.__qualname__}", item))
    return sorted(found.values(), key=lambda pair: pair[0])


def public_methods(item):
    """(name, method) of the public methods that a class defines itself."""
    for name, raw in vars(item).items():
        method = getattr(raw, "__func__", raw)
        if not name.startswith("_") and inspect.isfunction(method):
            yield f"{item.__module__}.{item.__qualname__}.{name}", method


def sections(doc):
    """Text of a docstring by heading; what stands before the first heading is under the empty one."""
    parts = re.split(r"^([A-Z]\w+)\n-{3,}\n", inspect.cleandoc(doc), flags=re.M)
    return {"": parts[0], **dict(zip(parts[1::2], parts[2::2], strict=True))}


def documented(tree):
    """(node, docstring) of every function and class of a parsed file."""
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef | ast.ClassDef):
            yield node, ast.get_docstring(node)


def check_lines(tree):
    """Lines of statements that only check input: calls of the checks, and branches that only refuse."""
    lines = set()
    for node in ast.walk(tree):
        if _is_check(node) or (isinstance(node, ast.If) and not node.orelse and _refuses(node.body[-1])):
            lines |= set(range(node.lineno, node.end_lineno + 1))
    return lines


def _is_check(node):
    """A statement with a call of a check in it, or one that raises."""
    if not isinstance(node, ast.Expr | ast.Assign | ast.AnnAssign):
        return isinstance(node, ast.Raise)
    return any(isinstance(n, ast.Call) and getattr(n.func, "id", "") in CHECKS for n in ast.walk(node))


def _refuses(last):
    return isinstance(last, ast.Raise) or (
        isinstance(last, ast.Expr)
        and isinstance(last.value, ast.Call)
        and getattr(last.value.func, "id", "") == "reject"
    )
