"""A block of modules, by rows and columns or drawn."""

from __future__ import annotations

from typing import Any, NamedTuple

from marshmallow import RAISE, Schema, ValidationError, post_load, validates_schema

from estimator import job as records
from estimator.contract.requests.fields import Inner, Int, Many, OneOf, Quantity, Text
from estimator.contract.requests.posted_job.cells import OmittedCells, read_cells
from estimator.contract.requests.record import place
from estimator.sentences import say

MOST_CELLS = 200_000
LINES = ("column", "row")


class WiderGap(NamedTuple):
    """A wider gap as posted: after a column or a row, which one, and how wide."""

    line: str
    after: int
    width_mm: float


class WiderGapSchema(Schema):
    """A gap between two columns, or two rows, that is wider than the others."""

    class Meta:
        """Unknown fields are faults."""

        unknown = RAISE

    after_column = Int(1, 10_000, about="The column it follows, counted from the left.", example=6)
    after_row = Int(1, 10_000, about="The row it follows, counted from the eave; this or the column.", example=2)
    width_mm = Quantity(
        "length", 0.0, 10_000, required=True, data_key="width", about="From module to module.", example=90
    )

    @validates_schema
    def one_line(self, loaded: dict[str, Any], **_: object) -> None:
        """A column or a row."""
        if ("after_column" in loaded) == ("after_row" in loaded):
            raise ValidationError(
                say("a gap follows a column or a row; allowed: after_column or after_row, one of them")
            )

    @post_load
    def make(self, loaded: dict[str, Any], **_: object) -> WiderGap:
        """The line and the width."""
        if "after_row" in loaded:
            return WiderGap("row", loaded["after_row"], loaded["width_mm"])
        return WiderGap("column", loaded["after_column"], loaded["width_mm"])


class ArraySchema(Schema):
    """A block of modules: by rows and columns with cells left out, or drawn, one text for each row, top row first."""

    class Meta:
        """Unknown fields are faults."""

        unknown = RAISE

    name = Text(200, required=True, about="What drawings and checks call the array.", example="A")
    x_mm = place(
        required=True,
        data_key="x",
        about="The left edge of its first column, from the left end of the eave as seen from the ground.",
        example=1500,
    )
    y_mm = place(
        required=True, data_key="y", about="The lower edge of its first row, up the slope from the eave.", example=900
    )
    rows = Int(
        1, 10_000, about="Rows of modules, counted up the slope; may be left out where cells are drawn.", example=4
    )
    columns = Int(
        1, 10_000, about="Columns of modules, counted from the left; may be left out where cells are drawn.", example=14
    )
    orientation = OneOf(
        "portrait",
        "landscape",
        required=True,
        about="Whether a module's long side runs up the slope (portrait) or along the eave (landscape).",
        example="portrait",
    )
    gap_x_mm = Quantity(
        "length",
        0.0,
        10_000,
        required=True,
        data_key="gap_x",
        about="Gap between two modules of a row.",
        example="0.75 in",
    )
    gap_y_mm = Quantity(
        "length",
        0.0,
        10_000,
        required=True,
        data_key="gap_y",
        about="Gap between two modules of a column.",
        example="0.75 in",
    )
    omit = OmittedCells(MOST_CELLS, example=[[3, 7], [3, 8]])
    wider_gaps = Many(
        Inner(WiderGapSchema),
        200,
        about="Gaps wider than gap_x or gap_y, where expansion splices part the rails; what lies beyond moves along.",
        example=[{"after_column": 6, "width": 90}],
    )
    cells = Many(
        Text(10_000),
        10_000,
        least=1,
        about="The cells drawn, one text for each row, the top row first: # is a module, . none.",
        example=["####..##", "########"],
    )

    @validates_schema
    def cells_agree(self, loaded: dict[str, Any], **_: object) -> None:
        """Rows, columns, omitted and drawn cells say the same."""
        read_cells(loaded)

    @post_load
    def make(self, loaded: dict[str, Any], **_: object) -> records.Array:
        """The record."""
        rows, columns, omit = read_cells(loaded)
        kept = {name: value for name, value in loaded.items() if name not in {"rows", "columns", "omit", "cells"}}
        gaps = kept.pop("wider_gaps", ())
        wider = {line: tuple((each.after, each.width_mm) for each in gaps if each.line == line) for line in LINES}
        return records.Array(
            **kept,
            rows=rows,
            columns=columns,
            omit=omit,
            wider_gaps=wider["column"],
            wider_row_gaps=wider["row"],
        )
