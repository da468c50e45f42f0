"""A calculator: works the lines of a margin from their printed digits."""

import math
import re

NAMES = {
    "sqrt": math.sqrt, "min": min, "max": max, "abs": abs, "cos": math.cos, "sin": math.sin, "tan": math.tan,
    "tanh": math.tanh, "atan2": math.atan2, "pi": math.pi,
}  # fmt: skip
DIGITS = 5


def printed(value):
    """A number as it is printed, and half of its last digit."""
    text = f"{value:.{DIGITS - 1}e}"
    return float(text), 0.5 * 10.0 ** (int(text.split("e")[1]) - DIGITS + 1)


def work(formula, known):
    """Value of a formula of known names."""
    return float(eval(formula.replace("^", "**"), {"__builtins__": {}}, NAMES | known))


def follow(lines, start):
    """Values of the names after all lines, each formula checked against its printed value.

    `lines` are (name, value, formula), `start` what is printed before. A result may differ by what half of the last
    digit of each number in its formula makes.
    """
    known = {name: printed(value) for name, value in start.items()}
    for name, value, formula in lines:
        shown, half = printed(value)
        if formula:
            exact = {key: one for key, (one, _) in known.items()}
            found = work(formula, exact)
            spread = half * 1.001
            for key in set(re.findall(r"[A-Za-z]\w*", formula)) & set(known):
                one, off = known[key]
                if off:
                    ends = []
                    for moved in (one - off, one + off):
                        try:
                            ends.append(abs(work(formula, exact | {key: moved}) - found))
                        except (ValueError, ZeroDivisionError):
                            continue
                    spread += max(ends, default=0.0)
            assert abs(found - shown) <= 1.5 * spread + 1e-300, (name, formula, found, shown, spread, exact)
        known[name] = (shown, half)
    return {key: one for key, (one, _) in known.items()}
