"""Fields that take exactly what they say: a number is a number, a text holds nothing that cannot be printed.

The library's own number fields take "1_000", digits of other scripts and numbers a gigabyte long; these do not.
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from marshmallow import Schema, ValidationError, fields

from estimator.contract.faults import Disallowed, disallowed
from estimator.units import Dimension, UnitFault, parse, units_of

_DECIMAL = re.compile(r"-?[0-9]{1,12}(\.[0-9]{1,6})?\Z")
DECIMAL_PATTERN = r"^-?[0-9]{1,12}(\.[0-9]{1,6})?$"


def described(kwargs: dict[str, Any], **shape: Any) -> dict[str, Any]:
    """A field's arguments with what describes it: its sentence (``about``), an example, the shape of its values."""
    about, example = kwargs.pop("about", ""), kwargs.pop("example", None)
    sentence = " ".join(each for each in (about, shape.pop("description", "")) if each)
    told = {**shape, **({"description": sentence} if sentence else {})}
    told |= {} if example is None else {"examples": [example]}
    if kwargs.get("required"):
        missing = Disallowed("missing", _allowed(told, example))
        kwargs = {**kwargs, "error_messages": {"required": [missing], **kwargs.get("error_messages", {})}}
    return {**kwargs, "metadata": {**told, **kwargs.get("metadata", {})}}


def _allowed(told: Mapping[str, Any], example: object) -> str:
    """What may stand where nothing stands: words, a range with its unit, a kind of value; and an example."""
    if "enum" in told:
        return ", ".join(str(each) for each in told["enum"] if each is not None)
    number = next((each for each in told.get("anyOf", (told,)) if each.get("type") in ("number", "integer")), None)
    if number is not None:
        unit = told.get("x-unit", "")
        low, above = number.get("minimum"), number.get("exclusiveMinimum")
        parts = [f"above {above:g}" if above is not None else f"{low:g} or more" if low is not None else "a number"]
        parts += [f"at most {number['maximum']:.10g}"] if "maximum" in number else []
        text = ", ".join(parts) + (f" {unit}" if unit else "")
        return text + (f", such as {example}" if example is not None else "")
    kinds = {"string": "a text", "array": "a list", "boolean": "true or false"}
    text = kinds.get(str(told.get("type")), "")
    if not text:
        return str(told.get("description", "")) or "a value"
    return text + (f", such as {example}" if isinstance(example, (str, int, float)) else "")


class Inner(fields.Nested):
    """A part of a document with a schema of its own."""

    def __init__(self, schema: type[Schema], about: str = "", **kwargs: Any) -> None:
        super().__init__(schema, **described({**kwargs, "about": about}))


class Text(fields.Field[str]):
    """A text without control characters and halves of characters; markup and formula signs are text like any other."""

    def __init__(self, longest: int = 200, *, shortest: int = 0, lines: bool = False, **kwargs: Any) -> None:
        super().__init__(**described(kwargs, type="string", minLength=shortest, maxLength=longest))
        self.longest, self.shortest, self.lines = longest, shortest, lines

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> str:
        if not isinstance(value, str):
            raise ValidationError("not a text")
        if not self.shortest <= len(value) <= self.longest:
            raise disallowed(f"{len(value)} characters", f"{self.shortest} to {self.longest}")
        allowed = "\n\t" if self.lines else ""
        if any(unicodedata.category(sign) in {"Cc", "Cs"} and sign not in allowed for sign in value):
            raise disallowed("holds a control character or half of one", "characters that print")
        return value


class Word(Text):
    """A text that must match a pattern or be one of some words."""

    def __init__(self, pattern: str, allowed: str, **kwargs: Any) -> None:
        super().__init__(metadata={"pattern": f"^(?:{pattern})$"}, **kwargs)
        self.matcher, self.allowed = re.compile(f"(?:{pattern})\\Z", re.ASCII), allowed

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> str:
        text = super()._deserialize(value, attr, data, **kwargs)
        if not self.matcher.match(text):
            raise disallowed(f"{text[:40]!r} is not allowed here", f"{self.allowed}")
        return text


class OneOf(fields.Field[Any]):
    """One of a few words."""

    def __init__(self, *words: str, **kwargs: Any) -> None:
        listed: list[Any] = [*words, None] if kwargs.get("allow_none") else [*words]
        super().__init__(**described({"example": words[0], **kwargs}, enum=listed))
        self.words = words

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> str:
        if not isinstance(value, str) or value not in self.words:
            shown = repr(value[:40]) if isinstance(value, str) else "this"
            raise disallowed(f"{shown} is not allowed here", f"{', '.join(self.words)}")
        return value


class Quantity(fields.Field[float]):
    """A number in the inside unit, or a text of a number and a unit, to the inside unit, within a range."""

    def __init__(
        self, dimension: Dimension, low: float = 0.0, high: float = math.inf, *, above: bool = False, **kwargs: Any
    ) -> None:
        unit, *others = units_of(dimension)
        words = f"In {unit}" + (f", or a text of a number and one of {', '.join([unit, *others])}." if others else ".")
        number = {"type": "number", "exclusiveMinimum" if above else "minimum": low}
        number |= {} if math.isinf(high) else {"maximum": high}
        kinds: list[Any] = [number, {"type": "string", "maxLength": 40}]
        kinds += [{"type": "null"}] if kwargs.get("allow_none") else []
        super().__init__(**described(kwargs, anyOf=kinds, description=words, **{"x-unit": unit}))
        self.dimension, self.low, self.high, self.above = dimension, low, high, above

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> float:
        if not isinstance(value, (int, float, str)) or isinstance(value, bool):
            raise ValidationError("not a number, nor a text of a number and a unit")
        try:
            number = parse(value, self.dimension)
        except UnitFault as fault:
            raise disallowed(fault.message, fault.allowed) from fault
        return within(number, self.low, self.high, above=self.above, unit=units_of(self.dimension)[0])


class Real(fields.Field[float]):
    """A plain number within a range."""

    def __init__(self, low: float = -1e12, high: float = 1e12, *, above: bool = False, **kwargs: Any) -> None:
        bounds = {"exclusiveMinimum" if above else "minimum": low, "maximum": high}
        super().__init__(**described(kwargs, type="number", **bounds))
        self.low, self.high, self.above = low, high, above

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> float:
        if isinstance(value, bool) or not isinstance(value, (int, float)):
            raise ValidationError("not a number")
        return within(float(value), self.low, self.high, above=self.above)


class Int(fields.Field[int]):
    """A whole number within a range; 4.0 is one (JSON Schema), "4" and true are not."""

    def __init__(self, low: int, high: int, **kwargs: Any) -> None:
        super().__init__(**described(kwargs, type="integer", minimum=low, maximum=high))
        self.low, self.high = low, high

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> int:
        if isinstance(value, float) and value.is_integer():
            value = int(value)
        if isinstance(value, bool) or not isinstance(value, int):
            raise ValidationError("not a whole number")
        if not self.low <= value <= self.high:
            raise disallowed(f"{value:.6g} is out of range", f"{self.low} to {self.high}")
        return value


class Dec(fields.Field[Decimal]):
    """An exact decimal as a text ("0.125"); whole numbers and short decimals may come as numbers."""

    def __init__(self, low: str = "0", high: str = "999999999999", *, below: bool = False, **kwargs: Any) -> None:
        number = {"type": "number", "minimum": float(low), "exclusiveMaximum" if below else "maximum": float(high)}
        kinds: list[Any] = [{"type": "string", "pattern": DECIMAL_PATTERN}, number]
        if kwargs.get("allow_none"):
            kinds.append({"type": "null"})
        words = f"A decimal from {low} {'to below' if below else 'to'} {high}."
        super().__init__(**described(kwargs, anyOf=kinds, description=words))
        self.low, self.high, self.below = Decimal(low), Decimal(high), below

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> Decimal:
        text = repr(value) if isinstance(value, (int, float)) and not isinstance(value, bool) else value
        if not isinstance(text, str) or not _DECIMAL.match(text):
            raise disallowed("not a decimal", "at most 12 digits, a point, at most 6 digits")
        number = Decimal(text)
        if number < self.low or number > self.high or (self.below and number == self.high):
            end = "below" if self.below else "to"
            raise disallowed(f"{number} is out of range", f"{self.low} {end} {self.high}")
        return number


class Bool(fields.Field[bool]):
    """true or false, nothing that merely sounds like it."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**described({"example": True, **kwargs}, type="boolean"))

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> bool:
        if not isinstance(value, bool):
            raise ValidationError("not true or false")
        return value


class Day(fields.Field[date]):
    """A date as ISO 8601 writes it, year-month-day."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**described({"example": "2027-03-15", **kwargs}, type="string", format="date"))

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> date:
        try:
            if isinstance(value, str) and re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", value):
                return date.fromisoformat(value)
        except ValueError:
            pass
        raise disallowed("not a date", "year-month-day, such as 2027-03-15")


class Many(fields.Field[Any]):
    """A list of one kind of thing, its length looked at before anything in it is read; gives a tuple."""

    def __init__(self, inner: fields.Field[Any], most: int, *, least: int = 0, **kwargs: Any) -> None:
        super().__init__(**described(kwargs))
        self.inner, self.most, self.least = inner, most, least

    def _bind_to_schema(self, field_name: str, parent: Any) -> None:
        super()._bind_to_schema(field_name, parent)
        self.inner._bind_to_schema(field_name, self)

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> Any:
        if not isinstance(value, list):
            raise ValidationError("not a list")
        if not self.least <= len(value) <= self.most:
            raise disallowed(f"{len(value)} entries", f"{self.least} to {self.most}")
        read: list[Any] = []
        faults: dict[int, Any] = {}
        for at, item in enumerate(value):
            try:
                read.append(self.inner.deserialize(item, **kwargs))
            except ValidationError as fault:
                faults[at] = fault.messages
        if faults:
            raise ValidationError(faults)
        return tuple(read)


class Pair(fields.Field[tuple[float, float]]):
    """Two numbers, the first not above the second."""

    def __init__(self, one: fields.Field[float], **kwargs: Any) -> None:
        super().__init__(**described(kwargs, type="array", minItems=2, maxItems=2, items=dict(one.metadata)))
        self.one = one

    def _deserialize(
        self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any
    ) -> tuple[float, float]:
        if not isinstance(value, list) or len(value) != 2:
            raise ValidationError("not a pair [from, to]")
        low, high = (self.one.deserialize(item) for item in value)
        if low is None or high is None:
            raise ValidationError("not a pair of numbers")
        if low > high:
            raise ValidationError(f"from {low:g} to {high:g}: the first is the larger")
        return low, high


class Named(fields.Field[Any]):
    """An object of free names, each with one kind of value; gives a tuple of pairs in the order of the names."""

    def __init__(self, inner: fields.Field[Any], most: int, *, kind: Mapping[str, Any], **kwargs: Any) -> None:
        super().__init__(**described(kwargs, type="object", additionalProperties=kind, maxProperties=most))
        self.inner, self.most = inner, most
        self.word = Text(80, shortest=1)

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> Any:
        if not isinstance(value, dict):
            raise ValidationError("not an object")
        if len(value) > self.most:
            raise disallowed(f"{len(value)} entries", f"at most {self.most}")
        read, faults = [], {}
        for key, item in sorted(value.items()):
            try:
                read.append((self.word.deserialize(key), self.inner.deserialize(item)))
            except ValidationError as fault:
                faults[key] = fault.messages
        if faults:
            raise ValidationError(faults)
        return tuple(read)


def within(number: float, low: float, high: float, *, above: bool = False, unit: str = "") -> float:
    """The number itself if it is finite and in range. Errors: ValidationError naming the range."""
    if not math.isfinite(number):
        raise ValidationError("not a finite number")
    if number < low or number > high or (above and number == low):
        sign = unit and f" {unit}"
        start = f"above {low:g}" if above else f"{low:g}"
        end = "" if math.isinf(high) else f" to {high:g}" if not above else f", at most {high:g}"
        more = " or more" if math.isinf(high) and not above else ""
        raise disallowed(f"{number:.6g}{sign} is out of range", f"{start}{end}{more}{sign}")
    return number
