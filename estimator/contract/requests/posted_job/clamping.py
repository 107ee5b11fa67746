"""Clamping zones of a module as they are posted: shares of a side, or lengths from its corner."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from marshmallow import ValidationError, fields

from estimator.contract.faults import Disallowed, disallowed
from estimator.contract.requests.fields import described
from estimator.sentences import figure, say
from estimator.units import UnitFault, parse

HALF = 0.5
_ALLOWED = say("two shares of the side from 0 to 0.5, or two lengths with a unit")


@dataclass(frozen=True, slots=True)
class SidePlace:
    """A place on a side, from its corner: a share of the side, or mm."""

    number: float
    is_length: bool

    def share(self, side_mm: float) -> float:
        """The share of a side of that length."""
        return self.number / side_mm if self.is_length else self.number


class SidePlaces(fields.Field[Any]):
    """Two places on a side: a bare number from 0 to 0.5 is a share of the side, a text with a unit a length."""

    def __init__(self, **kwargs: Any) -> None:
        one = {"anyOf": [{"type": "number", "minimum": 0, "maximum": HALF}, {"type": "string", "maxLength": 40}]}
        super().__init__(**described(kwargs, type="array", minItems=2, maxItems=2, items=one))

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> Any:
        if not isinstance(value, list) or len(value) != 2:
            raise disallowed(say("not a pair [from, to]"), _ALLOWED)
        low, high = (_place(each) for each in value)
        if low.is_length == high.is_length and low.number > high.number:
            raise ValidationError(
                say(
                    "from {low} to {high}: the first is the larger",
                    low=figure(low.number, "g"),
                    high=figure(high.number, "g"),
                )
            )
        return low, high


def _place(value: Any) -> SidePlace:
    if isinstance(value, bool) or not isinstance(value, (int, float, str)):
        raise disallowed(say("neither a number nor a text of a number and a unit"), _ALLOWED)
    if isinstance(value, str):
        if not any(sign.isalpha() for sign in value):
            raise disallowed(say("{value} is a text without a unit", value=repr(value[:40])), _ALLOWED)
        try:
            return SidePlace(parse(value, "length"), is_length=True)
        except UnitFault as fault:
            raise disallowed(fault.message, fault.allowed) from fault
    if not 0 <= value <= HALF:
        raise disallowed(say("{value} is no share of a side", value=figure(value, "g")), _ALLOWED)
    return SidePlace(float(value), is_length=False)


def shares_of_side(places: tuple[SidePlace, SidePlace] | None, name: str, side_mm: float) -> tuple[float, float] | None:
    """From and to as shares of a side; None where the side is not named.

    Errors: ValidationError where a length lies beyond the middle of the side, or the first beyond the second.

    >>> shares_of_side((SidePlace(350.0, True), SidePlace(500.0, True)), "long_side", 2000.0)
    (0.175, 0.25)
    """
    if places is None:
        return None
    low, high = (each.share(side_mm) for each in places)
    if not 0 <= low <= high <= HALF + 1e-9:
        found = say(
            "{low} to {high} on a side of {side_mm}",
            low=figure(low * side_mm, "g", " mm", "length"),
            high=figure(high * side_mm, "g", " mm", "length"),
            side_mm=figure(side_mm, "g", " mm", "length"),
        )
        told = Disallowed(
            found, say("from 0 to its middle, {side_mm}", side_mm=figure(side_mm / 2, "g", " mm", "length"))
        )
        raise ValidationError({"clamping_zone": {name: [told]}})
    return low, min(high, HALF)
