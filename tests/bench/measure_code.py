"""How large the library is and how it is written: lines, files, circles, input checks, formulas in docstrings.

python tests/bench/measure_code.py
"""

import ast
import sys
from pathlib import Path

sys.path[:0] = [
    str(Path(__file__).resolve().parents[1] / "helpers"),
    str(Path(__file__).resolve().parents[2]),
]

from source import (  # noqa: E402
    FILES,
    ROOT,
    check_lines,
    circles,
    import_graph,
    label,
    public_items,
    public_methods,
    sections,
)


def sizes(paths):
    """Lines in all, of docstrings, of code (neither blank, comment nor docstring) and of input checks."""
    total = prose = code = checks = 0
    for path in paths:
        text = path.read_text()
        tree = ast.parse(text)
        doc = {n for node in ast.walk(tree) if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)
               for n in range(node.lineno, node.end_lineno + 1)}  # fmt: skip
        lines = {
            i
            for i, line in enumerate(text.splitlines(), 1)
            if line.strip() and not line.strip().startswith("#")
        }
        total += len(text.splitlines())
        prose += len(doc)
        code += len(lines - doc)
        checks += 0 if label(path) == "materials/checks.py" else len(check_lines(tree))
    return total, prose, code, checks


def main():
    """Print the figures."""
    for top in ("materials", "laminate", "beam"):
        own = [path for path in FILES if label(path).startswith(top + "/")]
        total, prose, code, checks = sizes(own)
        print(
            f"{top:10} {len(own):4} files {total:6} lines {prose:6} docstring {code:6} code {checks:5} checks"
        )
    total, prose, code, checks = sizes(FILES)
    print(f"library    {len(FILES):4} files {total:6} lines {prose:6} docstring {code:6} code {checks:5} checks "
          f"= {100 * checks / code:.1f} % of the code")  # fmt: skip
    tests = sorted((ROOT / "tests").rglob("*.py"))
    print(f"tests      {len(tests):4} files {sizes(tests)[0]:6} lines")
    print(f"circles    {len(circles(import_graph(FILES)))}")
    told = useful = 0
    for _, item in public_items():
        parts = [item.__doc__ or ""]
        if isinstance(item, type):
            parts += [method.__doc__ or "" for _, method in public_methods(item)]
        for doc in parts:
            told += len([line for line in doc.splitlines() if line.strip()])
            for heading, text in sections(doc).items():
                if heading in ("Notes", "References", "Examples", "Source"):
                    useful += len([line for line in text.splitlines() if line.strip()]) + 2
    print(
        f"public docstrings {told} lines, {100 * useful / max(told, 1):.0f} % formulas, notes, references and examples"
    )


if __name__ == "__main__":
    main()
