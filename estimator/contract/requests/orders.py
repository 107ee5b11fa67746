"""Which quotes to order, as purchasing posts it."""

from __future__ import annotations

from marshmallow import RAISE, Schema

from estimator.contract.requests.fields import Bool, Day, Int, Many, Named, Word
from estimator.contract.requests.queries import ID_PATTERN


class OrderRequestSchema(Schema):
    """Which quotes to order, what is in stock, and whether their rails are cut from common bars.

    ``move_joints`` lets the common plan join runs elsewhere than the quotes' setting-out sheets say.
    """

    class Meta:
        """Unknown fields are faults."""

        unknown = RAISE

    quotes = Many(Word(ID_PATTERN, "a quote's id", longest=36), 500, least=1, required=True)
    stock = Named(Int(0, 10_000_000), 10_000, kind={"type": "integer", "minimum": 0}, load_default=())
    ordered_on = Day(allow_none=True, load_default=None)
    cut_together = Bool(load_default=False)
    move_joints = Bool(load_default=False)
