import pytest

from materials import Factor, Source

SOURCE = Source("coupon tests")


def test_list_of_names_is_kept_as_a_tuple():
    factor = Factor(name="wet", value=1, on=["Xc", "S"], source=SOURCE)
    assert factor.on == ("Xc", "S")
    assert hash(factor) == hash(Factor(name="wet", value=1.0, on=("Xc", "S"), source=SOURCE))


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"name": ""}, "name"),
        ({"value": 80}, "given in percent"),
        ({"value": 0.0}, "> 0"),
        ({"value": -0.8}, "> 0"),
        ({"value": float("nan")}, "finite"),
        ({"value": "much"}, "a number"),
        ({"on": "Xc"}, r"write on=\('Xc',\)"),
        ({"on": ()}, "different names"),
        ({"on": ("Xc", "Xc")}, "different names"),
        ({"on": ("F1c",)}, "different names out of Xt"),
        ({"source": "a book"}, "a Source"),
    ],
)
def test_refuses(change, message):
    good = {"name": "wet", "value": 0.8, "on": ("Xc",), "source": SOURCE}
    with pytest.raises(ValueError, match=message):
        Factor(**good | change)
