"""The example that tells how far thin-walled theory carries."""

import numpy as np
import thick_walls


def test_theories_part_as_walls_thicken(capsys):
    tables = thick_walls.main()
    printed = capsys.readouterr().out
    assert printed.count("\n") == 2 * (3 + len(thick_walls.RATIOS))
    for name, table in tables.items():
        thin, thick = np.abs(table[0]), np.abs(table[-1])
        assert table.shape == (len(thick_walls.RATIOS), 7)
        assert thin.max() < 0.05, name
        assert (np.abs(table[3]) < 6.0).all(), name
        assert thick.max() > 5.0, name


def test_one_laminate_parts_by_the_square():
    """(t/b)^2 in the box of one laminate, t/b in the one where laminates meet; from t/b of 0.01 to 0.03."""
    tables = thick_walls.main()
    ratio = np.log(thick_walls.RATIOS[1] / thick_walls.RATIOS[0])
    for name, order in (("extension-twist", 2.0), ("bending-twist", 1.0)):
        first, second = np.abs(tables[name][:2]).max(axis=1)
        assert abs(np.log(second / first) / ratio - order) < 0.25, name
