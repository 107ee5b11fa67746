"""A place as JSON, the same in answers and in what is asked: only what is named, numbers from 1."""

from __future__ import annotations

from typing import get_args

from estimator.contract.requests.fields import Int, OneOf, Text
from estimator.contract.requests.record import RecordSchema
from estimator.places import End, Place, Role, Side, Subject

MOST = 1_000_000
LONGEST = 1_000


class PlaceSchema(RecordSchema):
    """What a check is about, or where a run or piece goes: only what is named is there, and numbers count from 1."""

    record = Place
    roof = Text(LONGEST, about="The roof plane's name.", example="South")
    array = Text(LONGEST, about="The array's name.", example="A")
    row = Int(1, MOST, about="The row of modules, from the eave.", example=3)
    column = Int(1, MOST, about="The column of modules, from the left.", example=7)
    section = Int(
        1, MOST, about="Which unbroken stretch of the row or column, where left-out cells part it.", example=2
    )
    seam = Int(1, MOST, about="The seam that attachments without rail stand on, from the eave.", example=1)
    rail = Int(1, MOST, about="The rail of the row or column.", example=1)
    attachment = Int(1, MOST, about="The attachment of the run or seam, from its start.", example=4)
    span = Int(
        0, MOST, about="The span of the run; 0 before the first attachment, the highest behind the last.", example=4
    )
    piece = Int(1, MOST, about="The piece of the run.", example=1)
    end = OneOf(*get_args(End), about="An end of the run.", example="left")
    side = OneOf(*get_args(Side), about="An edge of the roof plane.", example="eave")
    obstruction = Text(LONGEST, about="An obstruction's name, as drawings have it.", example="skylight")
    zone = Text(LONGEST, about="A load zone's name.", example="2e")
    subject = OneOf(*get_args(Subject), about="What of the whole job, where it is about no roof.", example="mounting")
    role = OneOf(*get_args(Role), about="What the part named is for.", example="bracket")
    part = Text(LONGEST, about="A part of the pricebook, or a rail's name.", example="XB-40")
    supplier = Text(LONGEST, about="A supplier's name.", example="Supplier A")
    aspect = Text(
        LONGEST, about="What of it, where several things at one place are checked.", example="sheet_thickness"
    )
    quote = Text(LONGEST, about="The quote's number, where several are cut together.", example="Q-2026-00042")
    told = Text(LONGEST, about="Only in quotes of version 0.1: the place in its words.", example="South roof")
