from materials import Source


def test_prints_document_place_and_note():
    assert str(Source("Report 7", "table 4", "printed in ksi")) == "Report 7, table 4 (printed in ksi)"
    assert str(Source("Report 7")) == "Report 7"


def test_equal_parts_make_equal_sources():
    assert Source("a", "b") == Source("a", "b")
    assert hash(Source("a", "b")) == hash(Source("a", "b"))
    assert Source("a", "b") != Source("a", "c")
