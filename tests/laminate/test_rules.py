"""Lay-up rules: yes, no, and the reason that is given."""

import pytest
from stacks import CARBON, GLASS, WEAVE

from laminate import Laminate, rules


def stack(code: str) -> Laminate:
    return Laminate.from_code(code, {"": CARBON, "F": WEAVE, "G": GLASS})


@pytest.mark.parametrize(
    ("rule", "code", "limits", "holds", "reason"),
    [
        (rules.symmetry, "[0/±45/90]s", {}, True, "mirror image"),
        (
            rules.symmetry,
            "[0/45/-45/0]",
            {},
            False,
            "ply 2 is T300/5208 at 45 deg, ply 3 is T300/5208 at -45",
        ),
        (rules.symmetry, "[0/0G]", {}, False, "ply 2 is glass"),
        (rules.symmetry, "[45F/0/-45F]", {}, True, "mirror"),
        (rules.symmetry, "[90/0/-90]", {}, True, "mirror"),
        (rules.balance, "[0/±45/90]s", {}, True, "opposite"),
        (rules.balance, "[45_2/-45/0]", {}, False, "2 times T300/5208 at 45 deg, 1 times the opposite"),
        (rules.balance, "[45/-45G]", {}, False, "1 times T300/5208 at 45 deg, 0 times"),
        (rules.balance, "[45F]", {}, True, "opposite"),
        (rules.least_share, "[0_4/±45/90]s", {}, True, "14.3% at 45"),
        (rules.least_share, "[0_3/±45/0_4/90]", {}, True, "10.0% at 45"),
        (rules.least_share, "[0_8/±45/90]", {}, False, "9.1% at 45 deg, 10.0% wanted"),
        (rules.least_share, "[0/±45]s", {}, False, "0.0% at 90"),
        (rules.least_share, "[0/±45]s", {"directions_deg": (0, 45, -45)}, True, "33.3%"),
        (rules.least_share, "[45F/0F]", {}, True, "25.0%"),
        (rules.least_share, "[45F/0]", {"share": 0.2}, False, "0.0% at 90"),
        (rules.least_share, "[0/90/-90]", {"directions_deg": (90,), "share": 0.66}, True, "66.7%"),
        (rules.contiguity, "[0_4/90]s", {}, True, "4 neighboring"),
        (rules.contiguity, "[0_5/90]s", {}, False, "5 plies from ply 1 on at 0 deg, 0.625 mm"),
        (rules.contiguity, "[90/0_3]s", {}, False, "6 plies from ply 2"),
        (rules.contiguity, "[90/-90/90]", {"most": 2}, False, "3 plies from ply 1 on at 90"),
        (rules.contiguity, "[0_3]", {"thickness": 0.3e-3}, False, "0.375 mm together; at most 0.3 mm"),
        (rules.contiguity, "[0_3]", {"thickness": 0.375e-3}, True, "3 neighboring"),
        (rules.contiguity, "[0/-45_2/0]", {"most": 1}, False, "2 plies from ply 2 on at -45"),
        (rules.outer_plies, "[±45/0]s", {}, True, "45, -45"),
        (rules.outer_plies, "[0/±45]s", {}, False, "ply 1 is T300/5208 at 0 deg"),
        (rules.outer_plies, "[45/0]", {}, False, "ply 2 is T300/5208 at 0 deg"),
        (rules.outer_plies, "[45/0/-45]", {"count": 2}, False, "ply 2"),
        (rules.outer_plies, "[45]", {"count": 2}, False, "1 plies, 2 wanted"),
        (rules.outer_plies, "[-45F/0/45F]", {"directions_deg": (45,)}, True, "45"),
        (rules.angle_step, "[0/45/90]", {}, True, "at most 45"),
        (rules.angle_step, "[0/90]", {}, False, "90 deg from ply 1 to ply 2"),
        (rules.angle_step, "[0/60]", {}, True, "at most 60"),
        (rules.angle_step, "[0/-60]", {"most_deg": 45}, False, "60 deg from ply 1"),
        (rules.angle_step, "[80/-80]", {"most_deg": 20}, True, "at most 20"),
        (rules.angle_step, "[45F/-45]", {"most_deg": 0}, True, "at most 0"),
        (rules.angle_step, "[0]", {}, True, "at most 0"),
    ],
)
def test_rules(rule, code: str, limits: dict, holds: bool, reason: str) -> None:
    verdict = rule(stack(code), **limits)
    assert bool(verdict) is verdict.holds is holds, str(verdict)
    assert reason in verdict.reason
    assert str(verdict) == f"{verdict.rule}: {'yes' if holds else 'no'}, {verdict.reason}"


def test_check_asks_all_rules() -> None:
    verdicts = rules.check(stack("[45/0_2/-45/90]s"))
    assert len(verdicts) == len(rules.RULES) == 6
    assert all(verdicts)
    assert [v.rule for v in rules.check(stack("[0_5/90]")) if not v] == [
        "symmetric",
        "least share in 4 directions",
        "contiguity",
        "outer plies",
        "angle step",
    ]


def test_symmetry_and_balance_agree_with_the_stack() -> None:
    for code in ("[0]", "[±45]", "[45/0/45]", "[45F/0/-45F]", "[30/-30G]s", "[0/90]s"):
        assert rules.symmetry(stack(code)).holds is stack(code).is_symmetric, code
        assert rules.balance(stack(code)).holds is stack(code).is_balanced, code


def test_shares_that_cannot_all_be_kept_are_refused() -> None:
    with pytest.raises(ValueError, match=r"<= 0.25; given in percent\?"):
        rules.least_share(stack("[0/90]"), share=0.3)
