"""The house's logo on a sheet, beside its title; the file goes in as it is."""

from __future__ import annotations

import io

from openpyxl.drawing.fill import Blip
from openpyxl.drawing.geometry import PresetGeometry2D
from openpyxl.drawing.image import Image
from openpyxl.drawing.picture import PictureFrame
from openpyxl.drawing.spreadsheet_drawing import AnchorMarker, OneCellAnchor

from estimator.documents.language.texts import Reader
from estimator.documents.logo import logo_words, size_within
from estimator.documents.xlsx.page import Page
from estimator.documents.xlsx.plain_text import plain
from estimator.pricebook import Seller

SHEET_BOX = (120.0, 36.0)
"""Points that a logo may be wide and high, within the rows of the title and a column of 24 characters."""
EMU_A_POINT = 12_700
"""Source: ECMA-376 part 1, ST_Coordinate."""


def put_logo(page: Page, seller: Seller, reader: Reader, column: int) -> None:
    """The seller's logo on a sheet, in a column of the rows of its title."""
    if seller.logo is None:
        return
    wide, high = size_within(seller.logo, SHEET_BOX)
    anchor = OneCellAnchor(_from=AnchorMarker(col=column - 1, row=0, rowOff=2 * EMU_A_POINT))
    anchor.ext.width, anchor.ext.height = round(wide * EMU_A_POINT), round(high * EMU_A_POINT)
    anchor.pic = _picture(logo_words(seller, reader))
    image = Image(io.BytesIO(seller.logo.content))
    image.anchor = anchor
    page.sheet.add_image(image)


def _picture(words: str) -> PictureFrame:
    """The library's own frame of a picture, with words for those who do not see it."""
    picture = PictureFrame()
    picture.nvPicPr.cNvPr.id = 1000
    picture.nvPicPr.cNvPr.name = "Logo"
    picture.nvPicPr.cNvPr.descr = plain(words)[:250]
    picture.blipFill.blip = Blip()
    picture.blipFill.blip.cstate = "print"
    picture.spPr.prstGeom = PresetGeometry2D(prst="rect")
    picture.spPr.ln = None
    return picture
