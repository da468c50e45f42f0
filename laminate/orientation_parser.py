"""Reader of the orientation code; the grammar stands in `laminate.orientation`."""

import re
import unicodedata
from typing import NamedTuple, NoReturn

MOST_PLIES = 10_000
DEEPEST = 20

_SIGNS: dict[str, tuple[int, ...]] = {
    "+/-": (1, -1),
    "-/+": (-1, 1),
    "+-": (1, -1),
    "-+": (-1, 1),
    "±": (1, -1),
    "∓": (-1, 1),
}
_SIGNS |= {"+": (1,), "-": (-1,), "": (1,)}
_MINUS = str.maketrans("−–", "--")
_SMALL = str.maketrans("₀₁₂₃₄₅₆₇₈₉ₛₜ", "0123456789sT")
_BARS = "\u0304\u0305"
_NUMBER = re.compile(rf"[0-9{_BARS}]+(?:\.[0-9{_BARS}]+)?")
_SUBSCRIPT = re.compile(r"_([0-9]+)|_\{([0-9]+)\}|([₀₁₂₃₄₅₆₇₈₉]+)")
_COUNT = re.compile(rf"{_SUBSCRIPT.pattern}|([0-9]+)")
_WORD = re.compile(r"[A-Za-z]+")


class Mark(NamedTuple):
    """One ply as a code writes it: fiber (warp) angle [deg] and material label, or empty."""

    angle_deg: float
    label: str


def parse(code: str) -> tuple[Mark, ...]:
    """Plies of an orientation code, first ply first; a fault is refused with a caret under its place."""
    return _Reader(code).laminate()


class _Reader:
    """Recursive descent over the text, one method per line of the grammar."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.signs = text.translate(_MINUS)
        self.at = 0
        self.depth = 0
        self.overbar: int | None = None
        self.comma: int | None = None

    def laminate(self) -> tuple[Mark, ...]:
        self._expect("[")
        plies = self._stack()
        self._expect("]")
        self._refuse_comma()
        closed = self.at
        count, mirrored = self._modifiers()
        self._skip()
        if self.at < len(self.text):
            self._fail(f"expected the end, got '{self.text[self.at]}'")
        if self.overbar is not None and (count != 1 or not mirrored):
            self._fail("an overbar marks the mid-ply of a code that closes with ]s", self.overbar)
        half = self._times(plies, count, closed)
        if not mirrored:
            return tuple(half)
        return tuple(half + half[::-1][self.overbar is not None :])

    def _stack(self) -> list[Mark]:
        plies = self._item()
        while self._peek() in ("/", ","):
            if self.overbar is not None:
                self._fail("an overbar marks the mid-ply, which comes last", self.overbar)
            if self._peek() == ",":
                self.comma = self.at
            self.at += 1
            plies = plies + self._item()
            if len(plies) > MOST_PLIES:
                self._fail(f"more than {MOST_PLIES} plies")
        return plies

    def _item(self) -> list[Mark]:
        if self._peek() == "(":
            return self._set()
        if self._peek() == "[":
            self._fail("a set inside the brackets is written with ( )")
        return self._angle()

    def _angle(self) -> list[Mark]:
        start = self.at
        sign = next(s for s in _SIGNS if self.signs.startswith(s, self.at))
        self.at += len(sign)
        self._skip()
        place = self.at
        match = _NUMBER.match(self.text, self.at)
        if match is None or match[0][0] in _BARS:
            self._fail(f"expected an angle, got {self._here()}")
        self.at = match.end()
        digits = re.sub(f"[{_BARS}]", "", match[0])
        if re.match("0[0-9]", digits):
            self._fail(f"'{digits}' has a leading zero; plies at 0 are counted as 0_{digits[1:]}", place)
        value = float(digits)
        if value > 90:
            self._fail(f"angle {digits} is beyond 90; a count of plies is written 90_2", place)
        if self._peek() == "°":
            self.at += 1
        label, barred = self._label()
        if barred or digits != match[0]:
            if self.depth or len(_SIGNS[sign]) == 2:
                self._fail("an overbar marks one ply, outside of any set", place)
            self.overbar = place
        if len(_SIGNS[sign]) == 2 and value in (0.0, 90.0):
            self._fail(f"{sign}{digits} is the same direction twice", start)
        plies = [Mark(s * value + 0.0, label) for s in _SIGNS[sign]]
        count = self._count(_SUBSCRIPT)
        if count is None:
            return plies
        if len(plies) == 2:
            self._fail(
                f"{sign}{digits}_{count} can be read in two ways; write ({sign}{digits}){count}", start
            )
        if self.overbar is not None:
            self._fail("the mid-ply is one ply, without a subscript", place)
        return self._times(plies, count, place)

    def _set(self) -> list[Mark]:
        start, outer = self.at, self.comma
        self.comma = None
        self.depth += 1
        if self.depth > DEEPEST:
            self._fail(f"sets nested deeper than {DEEPEST}")
        self._expect("(")
        plies = self._stack()
        self._expect(")")
        self.depth -= 1
        place = self.at
        label, barred = self._label()
        if barred:
            self._fail("an overbar marks one ply, outside of any set", place)
        if label[:1] in ("F", "f"):
            if len(plies) != 2 or abs(plies[0].angle_deg - plies[1].angle_deg) != 90 or plies[0].label:
                self._fail("a fabric has two directions 90 deg apart, as in (±45)F or (0/90)F", start)
            self.comma = outer
            return self._times([Mark(plies[0].angle_deg, label)], self._count(_SUBSCRIPT) or 1, place)
        if label:
            self._fail(
                f"label '{label}' after a set; put it after each angle (only a fabric F... goes here)", place
            )
        self._refuse_comma()
        self.comma = outer
        plies = self._times(plies, self._count(_COUNT) or 1, place)
        if self._peek() in ("s", "S", "ₛ"):
            self.at += 1
            return plies + plies[::-1]
        return plies

    def _label(self) -> tuple[str, bool]:
        """Read the letters after an angle or a set: a label and whether an overbar is spelled out."""
        self._skip()
        match = _WORD.match(self.text, self.at)
        if match is None or (match[0] in ("s", "S") and self.text[self.at - 1] == ")"):
            return "", False
        word = match[0]
        barred = word.lower().endswith("bar")
        label = word[:-3] if barred else word
        if label in ("s", "S", "T"):
            self._fail(f"'{label}' closes a code and cannot be a label")
        self.at = match.end()
        return label, barred

    def _count(self, pattern: re.Pattern[str]) -> int | None:
        self._skip()
        match = pattern.match(self.text, self.at)
        if match is None:
            if self._peek() == "_":
                self._fail("expected a count after _", self.at + 1)
            return None
        digits = next(g for g in match.groups() if g).translate(_SMALL)
        if len(digits) > 9 or not 1 <= (count := int(digits)) <= MOST_PLIES:
            self._fail(f"count {digits[:9]} must be 1 to {MOST_PLIES}")
        self.at = match.end()
        return count

    def _modifiers(self) -> tuple[int, bool]:
        """Read what follows the closing bracket: 2s, _s, _{2s}, T or nothing."""
        self._skip()
        tail = self.text[self.at :].translate(_SMALL)
        match = re.match(r"_?\{\s*([0-9]*)\s*([sST]?)\s*\}|_?([0-9]*)\s*([sST]?)", tail)
        assert match is not None
        digits, letter = match[1] or match[3] or "", match[2] or match[4] or ""
        if digits and (len(digits) > 9 or not 1 <= int(digits) <= MOST_PLIES):
            self._fail(f"count {digits[:9]} must be 1 to {MOST_PLIES}")
        self.at += match.end()
        if letter and self._peek()[:1].translate(_SMALL).isdigit():
            self._fail("expected the end; a count stands before the s or T, as in ]2s")
        return int(digits or 1), letter in ("s", "S")

    def _refuse_comma(self) -> None:
        if self.comma is not None:
            self._fail(
                "a comma separates the two directions of a fabric only; plies are separated by /", self.comma
            )

    def _times(self, plies: list[Mark], count: int, place: int) -> list[Mark]:
        if len(plies) * count > MOST_PLIES:
            self._fail(f"more than {MOST_PLIES} plies", place)
        return plies * count

    def _skip(self) -> None:
        while self.at < len(self.text) and self.text[self.at].isspace():
            self.at += 1

    def _peek(self) -> str:
        self._skip()
        return self.text[self.at : self.at + 1]

    def _here(self) -> str:
        return f"'{self.text[self.at]}'" if self._peek() else "the end"

    def _expect(self, wanted: str) -> None:
        if self._peek() != wanted:
            self._fail(f"expected '{wanted}', got {self._here()}")
        self.at += 1

    def _fail(self, why: str, place: int | None = None) -> NoReturn:
        place = self.at if place is None else place
        before = [c for c in self.text[:place] if not unicodedata.combining(c)]
        raise ValueError(f"Orientation code: {why}\n  {self.text}\n  {' ' * len(before)}^")
