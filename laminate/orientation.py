"""Orientation code of a laminate: from the code to the angles and back.

Grammar, after ASTM D6507 and the habits of the trade::

    laminate  = "[" stack "]" [count] ["s" | "T"]     s: followed by its mirror image; T or nothing: total
    stack     = item { "/" item }
    item      = sign angle [overbar] [label] [subscript]
              | "(" stack ")" [count] ["s"]           a set, repeated, then mirrored
              | "(" stack ")" fabric [subscript]      one ply of fabric: (±45)F, (0/90)F or (0,90)F
    sign      = "" | "+" | "-" | "±" | "∓"            ±45 is 45/-45, ∓45 is -45/45; also +-, -+, +/-, -/+
    subscript = "_" digits | "_{" digits "}" | Unicode subscript digits
    count     = subscript | digits
    overbar   = U+0305 or U+0304 after the digits, or the word "bar": the mid-ply of a symmetric code
    label     = letters, the material in a hybrid; one that begins with F is a fabric, angle of the warp

Angles are written in degrees, -90 to 90. What could be read in two ways is refused: ``02`` for
two plies at 0, ``±45_2``, ``]s2``.

References
----------
ASTM D6507, Standard Practice for Fiber Reinforcement Orientation Codes for Composite Materials;
MIL-HDBK-17-1F, 2002, section 1.6 (from memory). The word "bar", the labels set in line and the fabric
letter in line are this library's way to write what the practice sets as a bar or a subscript.
"""

from collections.abc import Sequence

from laminate.orientation_parser import Mark, parse
from laminate.orientation_writer import shortest
from materials.checks import number, reject, sequence


def angles(code: str) -> tuple[float, ...]:
    """Angles that an orientation code stands for.

    Parameters
    ----------
    code : str
        Orientation code, as in ``"[0/±45/90]s"``; labels are read and left out.

    Returns
    -------
    tuple of float
        Fiber angle of each ply, first ply of the code first [deg].

    Raises
    ------
    ValueError
        If the code is at fault; a caret stands under the place.

    Examples
    --------
    >>> angles("[0_2/±45]s")
    (0.0, 0.0, 45.0, -45.0, -45.0, 45.0, 0.0, 0.0)
    """
    return tuple(angle for angle, _ in parse(code))


def labels(code: str) -> tuple[str, ...]:
    """Material label of each ply of an orientation code, empty where none is written.

    Parameters
    ----------
    code : str
        Orientation code, as in ``"[0C/45G]s"``.

    Returns
    -------
    tuple of str
        One label per ply, first ply of the code first.

    Raises
    ------
    ValueError
        If the code is at fault; a caret stands under the place.
    """
    return tuple(label for _, label in parse(code))


def code(angles: Sequence[float], labels: Sequence[str] | None = None) -> str:
    """Shortest orientation code of a stack.

    Parameters
    ----------
    angles : sequence of float
        Fiber angle of each ply, -90 to 90, at z = -h/2 first [deg].
    labels : sequence of str, optional
        Material label of each ply: letters, or empty.

    Returns
    -------
    str
        A code that `angles` and `labels` read back to exactly the same plies.

    Raises
    ------
    ValueError
        If there is no ply, an angle is out of range, or a label is not made of letters.

    Notes
    -----
    Shortest in characters among the codes built of subscripts, ±, ∓, repeated sets and the closing
    s or T (which is always written); overbars and the marks of subscripts do not count.

    Examples
    --------
    >>> code([0, 45, -45, 90, -45, 45, 0])
    '[0/±45/9̅0̅]s'
    """
    given = sequence("code: angles", angles)
    marks = ("",) * len(given) if labels is None else sequence("code: labels", labels, empty=True)
    if len(marks) != len(given):
        reject("code: labels", f"{len(marks)} labels", f"one for each of {len(given)} angles")
    plies = []
    for i, (angle, label) in enumerate(zip(given, marks, strict=True)):
        value = number(
            f"code: angles[{i}] [deg]", angle, at_least=-90, at_most=90, cause="turn it by 180 deg"
        )
        if label != "" and not _is_label(label):
            reject(f"code: labels[{i}]", repr(label), "letters, other than s, T and what ends in 'bar'")
        plies.append(Mark(value + 0.0, label))
    return shortest(plies)


def _is_label(label: object) -> bool:
    if not isinstance(label, str) or not (label.isascii() and label.isalpha()):
        return False
    return label not in ("s", "S", "T") and not label.lower().endswith("bar")
