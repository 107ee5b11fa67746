"""The fonts in the package, and what they lack."""

import pytest

from estimator.documents.fonts.faces import drawable, ensure_fonts, missing_glyphs


def test_the_fonts_load_from_the_package_twice_without_harm():
    ensure_fonts()
    ensure_fonts()


@pytest.mark.parametrize(
    "text",
    [
        "Łódź Wrocław Gdańsk", "Reykjavík Þór", "Ærøskøbing Åland", "Iași Târgu Mureș", "Žďár nad Sázavou", "Győr",
        "İstanbul Çeşme", "Αθήνα", "Київ Москва", "Saint-Ouen-l'Aumône ¿Qué?", "straße", "₹ ₺ € £ ¥ ½ ⅛ ⌀ × − ′ ″ ° ²",
        "1 234,50 €", "1’234.50",
    ],
)  # fmt: skip
def test_european_names_and_signs_of_the_trade_are_all_there(text):
    assert missing_glyphs(text) == ()
    assert drawable(text) == text


def test_a_character_no_font_has_is_reported_and_drawn_as_a_sign_never_as_a_box():
    assert missing_glyphs("京 roof 京都") == ("京", "都")
    assert drawable("京 roof") == "¿ roof"


def test_scripts_that_need_joining_are_reported_rather_than_drawn_wrong():
    assert missing_glyphs("سقف") == ("س", "ق", "ف")


@pytest.mark.parametrize("bad", ["\x00", "\x07", "\x1b", "\x85"])
def test_control_characters_never_reach_the_page(bad):
    assert missing_glyphs(f"a{bad}b") == (bad,)
    assert bad not in drawable(f"a{bad}b")


def test_marks_that_are_written_as_nothing_are_left_out():
    assert drawable("so\u00adlar\u200d") in {"solar", "so\u00adlar", "so\u00adlar\u200d", "solar\u200d"}
    assert missing_glyphs("\u200d") == ()
