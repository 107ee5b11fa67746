"""Editions of pricebooks on a list, and what one offers; no price stands in either."""

from __future__ import annotations

from estimator.contract.answers.fields import Date, Each, Link, Number, One, OneWord, Truth, Values, Words, texts
from estimator.contract.answers.offer.bill import CURRENCY
from estimator.contract.answers.writing import ITSELF, Answer, Entry, Source, Telling
from estimator.pricebook import Book, Bracket, Part, Rail
from estimator.service.catalogue import EditionSummary

SHA256 = "^[0-9a-f]{64}$"


class EditionLinksSchema(Answer):
    """Where the edition is."""

    record = EditionSummary
    self = Link(
        "This edition.",
        lambda it, _to: f"/v1/pricebooks/{it.id}/editions/{it.edition}",
        example="/v1/pricebooks/hanse-eu/editions/2026-12",
    )


class EditionSchema(Answer):
    """One edition on a list."""

    record = EditionSummary
    id = Words("The pricebook's id.", example="hanse-eu")
    edition = Words("The edition.", example="2026-12")
    title = Words("The pricebook's title.", example="Demonstration book")
    currency = Words("Its currency, by ISO 4217.", pattern=CURRENCY, example="EUR")
    country = Words("The seller's country, by ISO 3166-1.", example="DE")
    valid_from = Date("The first day on which it is in force.")
    valid_until = Date("The last day on which it is in force.")
    sha256 = Words("SHA-256 of its files.", pattern=SHA256, example="0" * 64)
    uploaded = Truth("Whether it was posted to this service; else it lies in a folder.", example=False)
    standing = OneWord("Whether it may be priced by.", ("approved", "waiting", "withdrawn"))
    links = One("Where the edition is.", EditionLinksSchema, ITSELF)


class EditionPageSchema(Answer):
    """Editions."""

    items = Each("Every edition available.", EditionSchema, "0")
    next = Link("Null: all stand on one page.", "1", null=True, example="")


def _range(about: str, unit: str, of: str, low: float, high: float) -> Values:
    shape = {"x-unit": unit, "minItems": 2, "maxItems": 2, "example": [low, high]}
    return Values(about, {"type": "number"}, of, **shape)


def _sorted(name: str) -> Source:
    return lambda it, _to: sorted(getattr(it, name))


class BracketAnswerSchema(Answer):
    """A bracket and the ribs it fits."""

    record = Bracket
    part = Words("Its part.", example="XB-40")
    name = Words("Its name.", example="Saddle bracket 40")
    material = Words("Its material.", example="aluminium")
    arrangements = texts("The arrangements it is made for.", _sorted("heights_mm"), example=["direct"])
    crown_width = _range("Least and largest width of a rib's crown.", "mm", "crown_width_mm", 20.0, 60.0)
    rib_height = _range("Least and largest height of a rib.", "mm", "rib_height_mm", 25.0, 50.0)
    web_angle = _range("Least and largest angle of a rib's webs.", "deg", "web_angle_deg", 45.0, 90.0)
    sheet_materials = texts("Sheets it may be fixed to.", _sorted("sheet_materials"), example=["steel"])
    sheet_thickness = _range("Least and largest thickness of the sheet.", "mm", "sheet_thickness_mm", 0.4, 1.0)


class RailAnswerSchema(Answer):
    """A rail and the bars it comes in."""

    record = Rail
    rail = Words("Its name in the book.", example="XR-38")
    name = Words("Its name for people.", example="Rail 38")
    material = Words("Its material.", example="aluminium")
    arrangements = texts("The arrangements it is made for.", _sorted("arrangements"), example=["direct"])
    height = Number("Its height.", "mm", "height_mm", example=38.0)
    stock_lengths = Values(
        "Lengths of bar that it comes in.",
        {"type": "number", "exclusiveMinimum": 0},
        lambda it, _to: sorted(stock.length_mm for stock in it.stocks),
        **{"x-unit": "mm", "example": [4267.0]},
    )


class PartAnswerSchema(Answer):
    """A part without its price."""

    record = Part
    part = Words("Its number.", example="XB-40")
    role = Words("What it is for.", example="bracket")
    description = Words("The part in words.", example="Bracket, aluminium")
    unit = Words("The unit of its quantities by UNECE Recommendation 20.", example="C62")


class BookAnswerSchema(Answer):
    """What an edition offers, without prices."""

    record = Book
    id = Words("The pricebook's id.", example="hanse-eu")
    edition = Words("The edition.", example="2026-12")
    title = Words("The pricebook's title.", example="Demonstration book")
    currency = Words("Its currency, by ISO 4217.", pattern=CURRENCY, example="EUR")
    country = Words("The seller's country, by ISO 3166-1.", "seller.country", example="DE")
    valid_from = Date("The first day on which it is in force.")
    valid_until = Date("The last day on which it is in force.")
    sha256 = Words("SHA-256 of its files.", pattern=SHA256, example="0" * 64)
    invented = Truth("Whether its prices are invented, for demonstration.", example=False)
    seller = Words("The house that sells by it.", "seller.name", example="Demonstration house")
    tiers = texts("Discount tiers of customers.", _sorted("tiers"), example=["trade"])
    freight_zones = texts(
        "Freight zones.", lambda it, _to: sorted({rate.zone for rate in it.freight}), example=["1", "2"]
    )
    brackets = Each("Brackets.", BracketAnswerSchema, lambda it, _to: it.brackets.values())
    rails = Each("Rails.", RailAnswerSchema, lambda it, _to: it.rails.values())
    parts = Each("All parts.", PartAnswerSchema, lambda it, _to: it.parts.values())


def book_entry(book: Book) -> Entry:
    """What an edition offers, without its prices."""
    return BookAnswerSchema.entry(book, Telling())


def edition_page(cards: tuple[EditionSummary, ...]) -> Entry:
    """Every edition on one page."""
    return EditionPageSchema.entry((cards, None), Telling())
