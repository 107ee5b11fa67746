"""What every schema of a record shares: it reads one record, and a field it does not know is a fault."""

from __future__ import annotations

from typing import Any, ClassVar

from marshmallow import RAISE, Schema, post_load

from estimator.contract.requests.fields import Quantity

LONGEST_MM = 1e7


def length(*, above: bool = True, **kwargs: Any) -> Quantity:
    """A length on a roof, mm."""
    return Quantity("length", 0.0, LONGEST_MM, above=above, **kwargs)


def place(**kwargs: Any) -> Quantity:
    """A coordinate on a roof, mm; it may lie outside the plane, and the layout then says so."""
    return Quantity("length", -LONGEST_MM, LONGEST_MM, **kwargs)


class RecordSchema(Schema):
    """Reads one record; a field it does not know is a fault."""

    record: ClassVar[Any]

    class Meta:
        """Unknown fields are faults."""

        unknown = RAISE

    @post_load
    def make(self, loaded: dict[str, Any], **_: object) -> Any:
        """The record."""
        return self.record(**loaded)
