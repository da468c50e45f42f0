"""Orientation code: what it means, where its faults are shown, and the shortest way back."""

import itertools
import unicodedata

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from stacks import CODED

from laminate import angles, code, labels

# usage of the trade: ASTM D6507; MIL-HDBK-17-1F, 2002, section 1.6 (both from memory), else common practice
READ = [
    ("[0]", (0,)),
    ("[0/90]", (0, 90)),
    ("[0/90]T", (0, 90)),
    ("[0/45/90]s", (0, 45, 90, 90, 45, 0)),
    ("[0/45/90]S", (0, 45, 90, 90, 45, 0)),
    ("[0/±45/90]s", (0, 45, -45, 90, 90, -45, 45, 0)),
    ("[∓45]", (-45, 45)),
    ("[+-45/-+30]", (45, -45, -30, 30)),
    ("[+/-45/0/-/+30]", (45, -45, 0, -30, 30)),
    ("[+45/−45/–30]", (45, -45, -30)),
    ("[0_2/90]T", (0, 0, 90)),
    ("[0_{2}/90₃]T", (0, 0, 90, 90, 90)),
    ("[0₁₂]", (0,) * 12),
    ("[45/-45]2s", (45, -45, 45, -45, -45, 45, -45, 45)),
    ("[45/0]_2s", (45, 0, 45, 0, 0, 45, 0, 45)),
    ("[45/0]_{2s}", (45, 0, 45, 0, 0, 45, 0, 45)),
    ("[45/0]₂ₛ", (45, 0, 45, 0, 0, 45, 0, 45)),
    ("[0/90]2", (0, 90, 0, 90)),
    ("[0/90]3T", (0, 90) * 3),
    ("[(0/90)2/45]s", (0, 90, 0, 90, 45, 45, 90, 0, 90, 0)),
    ("[(±45)_2/0]", (45, -45, 45, -45, 0)),
    ("[((0/90)2/45)2]", (0, 90, 0, 90, 45) * 2),
    ("[(0/45)s/90]", (0, 45, 45, 0, 90)),
    ("[(0/45)2s]", (0, 45, 0, 45, 45, 0, 45, 0)),
    ("[0/9̅0̅]s", (0, 90, 0)),
    ("[0/90̅]s", (0, 90, 0)),
    ("[±45/0bar]s", (45, -45, 0, -45, 45)),
    ("[0/-4̅5̅]s", (0, -45, 0)),
    ("[22.5/-22.5]", (22.5, -22.5)),
    (" [ 0 / ± 45° / 90 ] s ", (0, 45, -45, 90, 90, -45, 45, 0)),
]


@pytest.mark.parametrize(("text", "expected"), READ)
def test_reading(text: str, expected: tuple[float, ...]) -> None:
    assert angles(text) == tuple(map(float, expected))


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("[0C/45G]s", [(0, "C"), (45, "G"), (45, "G"), (0, "C")]),
        ("[0C_2/±45G]", [(0, "C"), (0, "C"), (45, "G"), (-45, "G")]),
        ("[(±45)F/0]", [(45, "F"), (0, "")]),
        ("[(0/90)F_2]", [(0, "F"), (0, "F")]),
        ("[(0,90)F/45Fg]", [(0, "F"), (45, "Fg")]),
        ("[0C/90Gbar]s", [(0, "C"), (90, "G"), (0, "C")]),
        ("[((±45)F/0)2]", [(45, "F"), (0, ""), (45, "F"), (0, "")]),
    ],
)
def test_labels(text: str, expected: list[tuple[float, str]]) -> None:
    assert list(zip(angles(text), labels(text), strict=True)) == expected


FAULTS = [
    (" ( ", 1, "expected '['"),
    ("0/90", 0, "expected '['"),
    ("[]", 1, "expected an angle"),
    ("[0/90", 5, "expected ']'"),
    ("[0/90]s2", 7, "]2s"),
    ("[0/90]s]", 7, "the end"),
    ("[0/90]x", 6, "the end"),
    ("[0//90]", 3, "expected an angle"),
    ("[0/a]", 3, "expected an angle"),
    ("[02/90]", 1, "0_2"),
    ("[902/0]", 1, "90_2"),
    ("[0/91]", 3, "beyond 90"),
    ("[0/±90]", 3, "twice"),
    ("[±0]", 1, "twice"),
    ("[±45_2]", 1, "(±45)2"),
    ("[0_/90]", 3, "count"),
    ("[0_0]", 2, "1 to"),
    ("[0]0s", 3, "1 to"),
    ("[0_99999]", 2, "1 to"),
    ("[0_" + "9" * 5000 + "]", 2, "1 to"),
    ("[0]" + "9" * 5000, 3, "1 to"),
    ("[(0/90]", 6, "expected ')'"),
    ("[[0/90]]", 1, "( )"),
    ("[0,90]", 2, "/"),
    ("[(0,90)]", 3, "/"),
    ("[0,(0,90)F]", 2, "/"),
    ("[0,(0/90)2]", 2, "/"),
    ("[0/9̅0̅]x", 6, "the end"),
    ("[(0/45)F]", 1, "90 deg apart"),
    ("[(0/90/0)F]", 1, "90 deg apart"),
    ("[(0/90)C]", 7, "label"),
    ("[0s/90]", 2, "label"),
    ("[0bar/90]s", 1, "last"),
    ("[0/90bar]T", 3, "]s"),
    ("[0/90bar]", 3, "]s"),
    ("[0/90bar]2s", 3, "]s"),
    ("[0/90bar_2]s", 3, "subscript"),
    ("[(0/90bar)2]s", 4, "set"),
    ("[(0/90)bar]s", 7, "set"),
    ("[±45bar]s", 2, "set"),
    ("[9̅0̅/0/x]", 1, "last"),
    ("[9̅0̅_2]s", 1, "subscript"),
    ("[0/9̅0̅/x]s", 3, "last"),
    ("[" + "(" * 30 + "0" + ")" * 30 + "]", 21, "nested"),
    ("[(((0_100)100)100)]", 14, "more than"),
]


@pytest.mark.parametrize(("text", "column", "says"), FAULTS)
def test_a_fault_is_shown_with_a_caret_under_the_place(text: str, column: int, says: str) -> None:
    with pytest.raises(ValueError, match="Orientation code") as caught:
        angles(text)
    message, shown, caret = str(caught.value).split("\n")
    assert says in message
    assert shown == "  " + text
    assert caret == " " * (2 + column) + "^"


WRITTEN = [
    ((0,), "[0]T"),
    ((0, 90), "[0/90]T"),
    ((0, 0), "[0]s"),
    ((0, 0, 90), "[0_2/90]T"),
    ((0, 45, -45, 90, 90, -45, 45, 0), "[0/±45/90]s"),
    ((-45, 45, 0), "[∓45/0]T"),
    ((0, 90, 0), "[0/9̅0̅]s"),
    ((0, 90) * 4, "[0/90]4T"),
    ((45, 0) * 2 + (0, 45) * 2, "[45/0]2s"),
    ((0, 90, 0, 90, 45, 45, 90, 0, 90, 0), "[(0/90)2/45]s"),
    ((22.5, 1e-5), "[22.5/0.00001]T"),
    ((-0.0, 45), "[0/45]T"),
]


@pytest.mark.parametrize(("given_angles", "expected"), WRITTEN)
def test_writing(given_angles: tuple[float, ...], expected: str) -> None:
    assert code(given_angles) == expected


def test_writing_with_labels() -> None:
    assert code([0, 45, -45, 45, -45, 90], ["C", *"GGGG", "F"]) == "[0C/(±45G)2/90F]T"
    assert code([45, -45], ["C", "G"]) == "[45C/-45G]T"
    assert code([0, 45, 0], ["C", "G", "C"]) == "[0C/4̅5̅G]s"
    assert code([0, 45, 0], ["C", "G", ""]) == "[0C/45G/0]T"


@given(st.lists(st.tuples(CODED, st.sampled_from(["", "C", "Fg"])), min_size=1, max_size=24))
@settings(max_examples=150, deadline=None)
@example([(45.0, ""), (-45.0, "")] * 6)
def test_code_and_back(plies: list[tuple[float, str]]) -> None:
    given_angles, given_labels = zip(*plies, strict=True)
    text = code(given_angles, given_labels)
    assert angles(text) == given_angles
    assert labels(text) == given_labels


def glyphs(text: str) -> int:
    return sum(not unicodedata.combining(c) and c != "_" for c in text)


def test_no_shorter_code_exists_for_short_stacks() -> None:
    """All codes of limited size from the words of the grammar, read back: none beats the writer."""
    words = ["0", "45", "-45", "±45", "∓45", "0_2", "45_3"]
    sets = ["(0/45)2", "(45/0)2", "(0/-45)2", "(±45)2", "(∓45)2", "(±45)3", "(0_2/45)2"]
    shortest: dict[tuple[float, ...], int] = {}
    bodies = [(words + sets, 1), (words + sets, 2), (words, 3)]
    for choices, n in bodies:
        for items in itertools.product(choices, repeat=n):
            for close in ("T", "s", "2T", "2s"):
                text = f"[{'/'.join(items)}]{close}"
                key = angles(text)
                shortest[key] = min(glyphs(text), shortest.get(key, 999))
    assert len(shortest) > 1000
    for key, size in itertools.islice(shortest.items(), 0, None, 4):
        assert glyphs(code(key)) <= size, (key, code(key))


@pytest.mark.parametrize(
    ("given_angles", "given_labels", "says"),
    [
        ([0, 90], ["C"], "one for each"),
        ([0], ["C1"], "letters"),
        ([0], ["s"], "letters"),
        ([0], ["Gbar"], "letters"),
    ],
)
def test_what_has_no_code_is_refused(
    given_angles: list[float], given_labels: list[str] | None, says: str
) -> None:
    with pytest.raises(ValueError, match=says):
        code(given_angles, given_labels)
