"""The house's look, in one place: colours, type sizes and spacing of every document, sheet and page.

Two colours besides ink and greys: a deep blue for structure (heads, rules, modules) and an ochre for what asks for
attention (attachments, drafts, checks). Blue and ochre stay apart for every common kind of colour blindness, and their
lightness differs enough that a grey print keeps them apart too. Meaning never depends on colour alone: a word, a line
width or a dash pattern always goes with it.
"""

from __future__ import annotations

from dataclasses import dataclass

# Colours as RRGGBB; the number behind each is its relative luminance (WCAG 2.2), black 0 and white 1.
INK = "1E272C"  # 0.02: all running text
BLUE = "1F4E6E"  # 0.07: titles, table heads, outlines of modules
OCHRE = "AD5E17"  # 0.17: attachments, draft mark, checks that do not hold
MUTED = "59646B"  # 0.12: secondary text, captions, footers
RULE = "B9C2C7"  # 0.53: hairlines
TINT = "EDF1F3"  # 0.87: every second row, panels
BLUE_TINT = "D5E2EB"  # 0.74: modules, total rows
OCHRE_TINT = "F8E9DA"  # 0.83: panels of checks and cautions, cells that may be edited
PAPER = "FFFFFF"


@dataclass(frozen=True, slots=True)
class TypeSizes:
    """Type sizes in points."""

    title: float = 17.0
    heading: float = 10.5
    body: float = 8.5
    small: float = 7.2
    footer: float = 6.2
    drawing: float = 6.2


@dataclass(frozen=True, slots=True)
class Spacing:
    """Distances in points; everything is a multiple of ``unit`` but the page's margins."""

    unit: float = 3.0
    cell: float = 3.0
    block: float = 6.0
    section: float = 9.0
    margin: float = 45.0
    footer: float = 30.0


@dataclass(frozen=True, slots=True)
class LayerLook:
    """How a layer of the drawing looks: line colour and width (mm on paper), fill or none, dashes (mm on paper)."""

    line: str
    width_mm: float
    fill: str = ""
    dash_mm: tuple[float, ...] = ()


TYPE = TypeSizes()
SPACING = Spacing()
FONT = "DejaVu Sans"
WORKBOOK_FONT = "DejaVu Sans"
"""Spreadsheets name a font and never carry it; where it is not installed, the reader's own sans serif is used."""

PAPER_MM = {"A4": (210.0, 297.0), "letter": (215.9, 279.4)}
"""Source: ISO 216 for A4, ANSI/ASME Y14.1 size A for letter."""
LETTER_COUNTRIES = frozenset({"US", "CA", "MX"})

LOOKS: dict[str, LayerLook] = {
    "roof": LayerLook(INK, 0.45),
    "ribs": LayerLook(RULE, 0.09),
    "zones": LayerLook(MUTED, 0.13, dash_mm=(2.2, 0.9, 0.4, 0.9)),
    "keep_clear": LayerLook(MUTED, 0.13, dash_mm=(1.2, 0.9)),
    "obstructions": LayerLook(INK, 0.25, fill="DADFE2"),
    "modules": LayerLook(BLUE, 0.13, fill=BLUE_TINT),
    "rails": LayerLook(INK, 0.30),
    "attachments": LayerLook(OCHRE, 0.13, fill=OCHRE),
    "splices": LayerLook(INK, 0.22, fill=PAPER),
    "expansion_splices": LayerLook(INK, 0.22, fill=INK),
    "dimensions": LayerLook(MUTED, 0.13),
}


def paper_for(country: str) -> str:
    """The paper a customer of that country prints on: letter in the United States, Canada and Mexico, else A4.

    Source: CLDR paper size data, from memory.

    >>> paper_for("CA"), paper_for("DE")
    ('letter', 'A4')
    """
    return "letter" if country.upper() in LETTER_COUNTRIES else "A4"


def luminance(colour: str) -> float:
    """Relative luminance of a colour RRGGBB, 0 black to 1 white.

    Source: WCAG 2.2, definition of relative luminance.

    >>> luminance("FFFFFF")
    1.0
    """
    parts = [int(colour[at : at + 2], 16) / 255 for at in (0, 2, 4)]
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return round(0.2126 * red + 0.7152 * green + 0.0722 * blue, 12)


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours, 1 to 21.

    Source: WCAG 2.2, definition of contrast ratio.

    >>> contrast("000000", "FFFFFF")
    21.0
    """
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return round((light + 0.05) / (dark + 0.05), 12)
