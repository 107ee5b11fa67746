"""What is told of editions and of suppliers' price lists."""

from __future__ import annotations

from typing import Any

from marshmallow import RAISE, Schema, fields, post_load

from estimator.contract.requests.fields import Int, Many, Named, OneOf, Text
from estimator.service.price_list_breaks import MOST_QUANTITY


class BreakColumnSchema(Schema):
    """A column with the prices from a quantity on."""

    class Meta:
        """Unknown fields are faults."""

        unknown = RAISE

    column = Text(120, shortest=1, required=True, about="The column's name.", example="From 100")
    quantity = Int(
        2, MOST_QUANTITY, required=True, data_key="from", about="From how many on its prices hold.", example=100
    )


class ListColumnsSchema(Schema):
    """What a supplier calls the columns of its price list; kept as it was posted."""

    class Meta:
        """Unknown fields are faults."""

        unknown = RAISE

    part = Text(120, shortest=1, required=True, about="The column of the supplier's own number.", example="Article")
    cost = Text(120, shortest=1, required=True, about="The column of the price the house pays.", example="Net price")
    unit = Text(
        120, shortest=1, allow_none=True, about="The column of the unit; null if there is none.", example="Unit"
    )
    currency = Text(
        120, shortest=1, allow_none=True, about="The column of the currency; null if there is none.", example="Currency"
    )
    pack = Text(
        120, shortest=1, allow_none=True, about="The column of the pack's size; null if there is none.", example="Pack"
    )
    price_per = Text(
        120,
        shortest=1,
        allow_none=True,
        about="The column that says for how many the price is; null where it is for one.",
        example="Price per",
    )
    sheet = Text(
        120, shortest=1, allow_none=True, about="The sheet of a workbook; null is the first.", example="Prices"
    )
    header_row = Int(1, 1_000, about="The row of the columns' names.", example=1)
    decimal_sign = OneOf(".", ",", about="What stands before decimals in texts.")
    units = Named(
        Text(20, shortest=1),
        100,
        kind={"type": "string"},
        allow_none=True,
        about="The supplier's words for units, as codes of UNECE Recommendation 20.",
        example={"pcs": "C62", "m": "MTR"},
    )

    from_quantity = Text(
        120,
        shortest=1,
        allow_none=True,
        about="The column that says from how many on a row's price holds, where a number has several rows; else null.",
        example="From",
    )
    breaks = Many(
        fields.Nested(BreakColumnSchema),
        20,
        about="Columns with the prices from a quantity on; an empty cell is no break.",
        example=[{"column": "From 100", "from": 100}],
    )

    @post_load
    def plain(self, loaded: dict[str, Any], **_: object) -> dict[str, Any]:
        """As JSON would have it."""
        if "breaks" in loaded:
            loaded["breaks"] = [{"column": each["column"], "from": each["quantity"]} for each in loaded["breaks"]]
        return {**loaded, **({"units": dict(loaded["units"])} if loaded.get("units") is not None else {})}
