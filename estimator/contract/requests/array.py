"""A block of modules, by rows and columns or drawn."""

from __future__ import annotations

from typing import Any

from marshmallow import RAISE, Schema, post_load, validates_schema

from estimator import job as records
from estimator.contract.requests.cells import OmittedCells, read_cells
from estimator.contract.requests.fields import Inner, Int, Many, OneOf, Quantity, Text
from estimator.contract.requests.record import place

MOST_CELLS = 200_000


class WiderGapSchema(Schema):
    """A gap between two columns that is wider than the others."""

    class Meta:
        """Unknown fields are faults."""

        unknown = RAISE

    after_column = Int(1, 10_000, required=True, about="The column it follows, counted from the left.", example=6)
    width_mm = Quantity(
        "length", 0.0, 10_000, required=True, data_key="width", about="From module to module.", example=90
    )

    @post_load
    def make(self, loaded: dict[str, Any], **_: object) -> tuple[int, float]:
        """The column and the width."""
        return loaded["after_column"], loaded["width_mm"]


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
        about="Gaps wider than gap_x, where expansion splices part the rails; the columns beyond move along.",
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
        return records.Array(**kept, rows=rows, columns=columns, omit=omit)
