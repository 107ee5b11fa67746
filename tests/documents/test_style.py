"""The house's look: readable in print, in grey, and for colour-blind readers."""

import re

import pytest

from estimator.documents import style

COLOURS = [name for name, value in vars(style).items() if name.isupper() and re.fullmatch("[0-9A-F]{6}", str(value))]


@pytest.mark.parametrize("colour", [style.INK, style.BLUE, style.OCHRE, style.MUTED])
@pytest.mark.parametrize("ground", [style.PAPER, style.TINT])
def test_text_in_any_colour_of_the_house_is_readable(colour, ground):
    least = 4.5 if ground == style.PAPER else 4.0  # WCAG 2.2 success criterion 1.4.3: 4.5 to 1 for running text
    assert style.contrast(colour, ground) >= least


def test_blue_and_ochre_stay_apart_in_grey():
    assert style.luminance(style.OCHRE) > 2 * style.luminance(style.BLUE)


# Simulation of missing cones, linear RGB; source: Vienot, Brettel, Mollon 1999, matrices from memory.
PROTAN = ((0.11238, 0.88762, 0.0), (0.11238, 0.88762, 0.0), (0.00401, -0.00401, 1.0))
DEUTAN = ((0.29275, 0.70725, 0.0), (0.29275, 0.70725, 0.0), (-0.02234, 0.02234, 1.0))


def linear(colour):
    parts = [int(colour[at : at + 2], 16) / 255 for at in (0, 2, 4)]
    return [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]


@pytest.mark.parametrize("matrix", [PROTAN, DEUTAN], ids=["no red cones", "no green cones"])
def test_blue_and_ochre_stay_apart_for_a_reader_without_red_or_green_cones(matrix):
    blue, ochre = ([sum(m * c for m, c in zip(row, linear(colour), strict=True)) for row in matrix]
                   for colour in (style.BLUE, style.OCHRE))  # fmt: skip
    assert blue[2] > 2 * blue[0]  # stays bluish
    assert ochre[0] > 3 * ochre[2]  # stays yellowish


def test_no_more_than_two_colours_besides_greys():
    def hue_is_plain(colour):
        red, green, blue = (int(colour[at : at + 2], 16) for at in (0, 2, 4))
        return max(red, green, blue) - min(red, green, blue) > 30

    assert {name for name in COLOURS if hue_is_plain(getattr(style, name))} <= {"BLUE", "OCHRE"}


def test_every_layer_of_a_drawing_differs_by_more_than_colour():
    looks = [(look.width_mm, bool(look.fill), look.dash_mm, look.line) for look in style.LOOKS.values()]
    assert len(set(looks)) >= len(looks) - 1


@pytest.mark.parametrize(
    ("country", "paper"), [("US", "letter"), ("ca", "letter"), ("MX", "letter"), ("DE", "A4"), ("GB", "A4"), ("", "A4")]
)
def test_the_paper_follows_the_customers_country(country, paper):
    assert style.paper_for(country) == paper
