"""A cut list as it is posted: bars on offer and pieces wanted, in the list's own unit of length."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from fractions import Fraction
from typing import Any

from marshmallow import RAISE, Schema, ValidationError, fields, post_load, validates_schema

from estimator.contract.faults import Disallowed, disallowed
from estimator.contract.requests.fields import Bool, Dec, Int, Many, OneOf, described
from estimator.sentences import figure, say
from estimator.service.cut_lists import CutList, PiecesWanted, StockOnOffer, longest_piece, too_long
from estimator.units import UnitFault, parse

UNITS = {"mm": Fraction(1), "cm": Fraction(10), "m": Fraction(1000), "in": Fraction(254, 10), "ft": Fraction(3048, 10)}
LONGEST_MM = 1_000_000
MOST_PIECES = 20_000


class Length(fields.Field[Any]):
    """A number in the list's unit, or a text of a number and its own unit; kept exact until the unit is known."""

    def __init__(self, *, above: bool = True, **kwargs: Any) -> None:
        number = {"type": "number", "exclusiveMinimum" if above else "minimum": 0}
        words = f"In the list's unit, or a text of a number and one of {', '.join(UNITS)}."
        kinds = [number, {"type": "string", "maxLength": 40}]
        super().__init__(**described(kwargs, anyOf=kinds, description=words, **{"x-unit": "unit"}))
        self.above = above

    def _deserialize(
        self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any
    ) -> tuple[Fraction, bool]:
        if isinstance(value, bool) or not isinstance(value, (int, float, str)):
            raise ValidationError(say("not a number, nor a text of a number and a unit"))
        try:
            length = parse(value, "length", bare="mm")
        except UnitFault as fault:
            raise disallowed(fault.message, fault.allowed) from fault
        if not 0 <= length <= LONGEST_MM or (self.above and length == 0):
            least = say("above 0") if self.above else say("0 or more")
            raise disallowed(
                say("{value} is out of range", value=figure(length, ".6g")),
                say("{least}, at most {most}", least=least, most=LONGEST_MM),
            )
        bare = not isinstance(value, str) or value.strip().replace(".", "").isdigit()
        return Fraction(repr(length)), bare


class CutStockSchema(Schema):
    """Bars of one length, or off-cuts: these have sawn ends and are not trimmed again."""

    class Meta:
        """Unknown fields are faults."""

        unknown = RAISE

    length = Length(required=True, about="Length of a bar.", example=6000)
    price = Dec(required=True, about="Price of a bar.", example="54.53")
    available = Int(
        0, 10_000_000, allow_none=True, load_default=None, about="How many there are; null is any number.", example=40
    )
    offcut = Bool(
        load_default=False,
        about="Whether it is an off-cut: its ends are sawn, and are not trimmed again.",
        example=False,
    )


class CutPieceSchema(Schema):
    """Pieces of one length."""

    class Meta:
        """Unknown fields are faults."""

        unknown = RAISE

    length = Length(required=True, about="Length of a piece.", example=1722)
    count = Int(1, 1_000_000, required=True, about="How many are wanted.", example=40)


class CutListSchema(Schema):
    """A cut list; loads into its unit and the exact list."""

    class Meta:
        """Unknown fields are faults."""

        unknown = RAISE

    unit = OneOf(
        *UNITS, load_default="mm", about="The unit of bare numbers in this list and of the answer.", example="mm"
    )
    kerf = Length(above=False, load_default=(Fraction(0), True), about="What the saw eats at each cut.", example=3)
    end_trim = Length(
        above=False, load_default=(Fraction(0), True), about="What is cut off each end of a new bar.", example=10
    )
    stocks = Many(fields.Nested(CutStockSchema), 200, least=1, required=True, about="The bars on offer.")
    pieces = Many(fields.Nested(CutPieceSchema), MOST_PIECES, least=1, required=True, about="The pieces wanted.")

    @validates_schema(skip_on_field_errors=False, pass_original=True)
    def tell_what_is_too_long(self, data: dict[str, Any], original: dict[str, Any], **_: object) -> None:
        """Where something cannot be read, pieces longer than every bar are told as well, if unit and bars can be."""
        if "stocks" not in original or (data.keys() == self.fields.keys() and original.keys() <= self.fields.keys()):
            return  # there is no bar to compare with, or the plan itself refuses them
        try:
            unit, trim, stocks = (self._read_of(original, name) for name in ("unit", "end_trim", "stocks"))
        except ValidationError:
            return
        bare = UNITS[unit]
        longest = longest_piece(_stocks(stocks, bare), _in_mm(trim, bare))
        found = {
            at: {"length": [Disallowed(*too_long(length, longest))]}
            for at, length in _lengths_read(original.get("pieces"), bare)
            if length > longest
        }
        if found:
            raise ValidationError({"pieces": found})

    def _read_of(self, original: dict[str, Any], name: str) -> Any:
        field = self.fields[name]
        return field.deserialize(original[name]) if name in original else field.load_default

    @post_load
    def make(self, loaded: dict[str, Any], **_: object) -> tuple[str, CutList]:
        """The list, its lengths in mm."""
        unit = UNITS[loaded["unit"]]
        return loaded["unit"], CutList(
            _in_mm(loaded["kerf"], unit),
            _in_mm(loaded["end_trim"], unit),
            _stocks(loaded["stocks"], unit),
            tuple(PiecesWanted(_in_mm(each["length"], unit), each["count"]) for each in loaded["pieces"]),
        )


def _in_mm(length: tuple[Fraction, bool], unit: Fraction) -> Fraction:
    """A length as it was read: in the list's unit if it had none of its own, else in mm already."""
    return length[0] * unit if length[1] else length[0]


def _stocks(read: Sequence[dict[str, Any]], unit: Fraction) -> tuple[StockOnOffer, ...]:
    return tuple(
        StockOnOffer(_in_mm(each["length"], unit), each["price"], each["available"], each["offcut"]) for each in read
    )


def _lengths_read(pieces: Any, bare: Fraction) -> Iterator[tuple[int, Fraction]]:
    """Place and length (mm) of every piece whose length can be read, of as many as a list may have."""
    field = Length(required=True)
    for at, piece in enumerate(pieces[:MOST_PIECES] if isinstance(pieces, list) else ()):
        if isinstance(piece, dict) and "length" in piece:
            with suppress(ValidationError):
                length: Any = field.deserialize(piece["length"])
                yield at, _in_mm(length, bare)
