"""Which quotes to order, as purchasing posts it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from marshmallow import RAISE, Schema, fields

from estimator.contract.requests.fields import Bool, Day, Dec, Int, Many, Named, Quantity, Text, Word
from estimator.contract.requests.queries import ID_PATTERN
from estimator.contract.requests.record import RecordSchema
from estimator.orders import OffcutsOnHand
from estimator.service.ordering.order_lists import OrderRequest


class OffcutsOnHandSchema(RecordSchema):
    """Off-cuts of one rail and length that lie in the yard."""

    record = OffcutsOnHand
    rail = Text(80, shortest=1, required=True, about="The rail they are pieces of.", example="XR-38")
    length_mm = Quantity(
        "length", 0.0, 50_000, above=True, required=True, data_key="length", about="Their length.", example="13 ft"
    )
    count = Int(1, 100_000, about="How many there are.", example=2)
    price = Dec(
        allow_none=True,
        about="What one counts for where bars are chosen; null is what the pricebook says an off-cut of that length is "
        "worth.",
        example="4.00",
    )


class OrderRequestSchema(Schema):
    """Which quotes to order, what is in stock, and whether their rails are cut from common bars.

    ``move_joints`` lets the common plan join runs elsewhere than the quotes' setting-out sheets say.
    """

    class Meta:
        """Unknown fields are faults."""

        unknown = RAISE

    quotes = Many(
        Word(ID_PATTERN, "a quote's id", longest=36),
        500,
        least=1,
        required=True,
        about="Ids of accepted quotes; a quote is ordered once. A later accepted revision of an ordered quote "
        "orders the difference.",
        example=["0193a5c2-7b1e-7c3d-9f00-1a2b3c4d5e6f"],
    )
    stock = Named(
        Int(0, 10_000_000),
        10_000,
        kind={"type": "integer", "minimum": 0},
        load_default=(),
        about="What is in stock, by part: it is used before anything is bought. "
        "In a change of an order: what is there besides what the order took from stock before.",
        example={"XB-40": 12},
    )
    offcuts = Many(
        fields.Nested(OffcutsOnHandSchema),
        1_000,
        load_default=(),
        about="Bars of odd lengths that lie in the yard, from which rails that are cut together may be cut: they are "
        "never bought. Of one rail and length this is all there is, also of what the quotes count on. In a change of "
        "an order: what is there besides what the order took before.",
        example=[{"rail": "XR-38", "length": "13 ft", "count": 2}],
    )
    ordered_on = Day(
        allow_none=True, load_default=None, about="The day of the order; null is today.", example="2027-03-15"
    )
    cut_together = Bool(
        load_default=False, about="Whether the rails of all quotes are cut from common bars.", example=False
    )
    move_joints = Bool(
        load_default=False,
        about="Whether the common plan may join runs elsewhere than the quotes' setting-out sheets say.",
        example=False,
    )
    delivered = Many(
        Text(80, shortest=1),
        500,
        load_default=(),
        about="Suppliers whose earlier deliveries have arrived, where a revision of an ordered quote changes the "
        "order: what is no longer needed is then returned instead of cancelled.",
        example=["S1"],
    )


def order_request(body: Mapping[str, Any]) -> OrderRequest:
    """What the service orders: the request as it was read."""
    return OrderRequest(
        tuple(body["quotes"]),
        dict(body["stock"]),
        body["ordered_on"],
        body["cut_together"],
        body["move_joints"],
        tuple(body["delivered"]),
        tuple(body["offcuts"]),
    )
