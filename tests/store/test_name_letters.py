"""Names as people type them at a desk."""

import pytest

from trainer.store.name_letters import Typed


@pytest.mark.parametrize(
    ("name", "letters"),
    [
        ("Zoë O’Brien-D'Arcy", "zoe"),
        ("Zoë O’Brien-D'Arcy", "ZOË"),
        ("Zoe\u0308 Lark", "zoë l"),
        ("Zoë O’Brien-D'Arcy", "ob"),
        ("Zoë O’Brien-D'Arcy", "o'b"),
        ("Zoë O’Brien-D'Arcy", "o’brien d’a"),
        ("Zoë O’Brien-D'Arcy", "brien"),
        ("Zoë O’Brien-D'Arcy", "arcy"),
        ("Søren Łukasz Ægir", "so"),
        ("Søren Łukasz Ægir", "lu"),
        ("Søren Łukasz Ægir", "ae"),
        ("Jörg Strauß", "strauss"),
        ("李小龍", "李"),
        ("Noor  Al-Haddad", "noor al"),
    ],
)
def test_letters_begin_a_part_of_a_name(name, letters):
    assert Typed(letters).begin(name)


@pytest.mark.parametrize("letters", ["oe", "rien", "zoeo", "%", "_", "z_e"])
def test_letters_that_begin_no_part(letters):
    assert not Typed(letters).begin("Zoë O’Brien-D'Arcy")
