"""The example of the joints runs and prints sizes, margins, loads and masses."""

import re

import joint_margins


def test_joints_example(tmp_path, capsys):
    joint_margins.main(tmp_path)
    said = capsys.readouterr().out
    assert (tmp_path / "joint_margins.png").stat().st_size > 5_000
    for words in ("bond gone", "adhesive yield", "pivot socket", "tube outboard", "most F1", "invented"):
        assert words in said, words
    wider = [float(one) for one in re.findall(r"pivot lugs \S+ m wide\s+(\S+)", said)]
    longer = [float(one) for one in re.findall(r"trunnion overlap \S+ m\s+(\S+)", said)]
    assert wider == sorted(wider)
    assert len(wider) == len(longer) == 3
    # the ends of the bond pull the plies open, and M2 grows from the trunnion toward the side brace: more overlap moves
    # the mouth of the socket there and does not help
    assert max(longer) - min(longer) < 0.2
