"""Fields that take exactly what they say: a number is a number, a text holds nothing that cannot be printed.

The library's own number fields take "1_000", digits of other scripts and numbers a gigabyte long; these do not.
"""

from __future__ import annotations

import json
import math
import re
import unicodedata
from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from typing import Any, cast, get_args

from marshmallow import Schema, ValidationError, fields

from estimator.contract.faults import Disallowed, disallowed
from estimator.errors import MISSING
from estimator.sentences import Figure, Measures, Sentence, figure, say
from estimator.units import Dimension, UnitFault, parse, units_of

_DECIMAL = re.compile(r"-?[0-9]{1,12}(\.[0-9]{1,6})?\Z")
DECIMAL_PATTERN = r"^-?[0-9]{1,12}(\.[0-9]{1,6})?$"


def described(kwargs: dict[str, Any], wanted: str = "", /, **shape: Any) -> dict[str, Any]:
    """A field's arguments with what describes it: its sentence (``about``), an example, the shape of its values.

    ``wanted``: what a document is told that lacks it, where the shape does not say it.
    """
    about, example = kwargs.pop("about", ""), kwargs.pop("example", None)
    sentence = " ".join(each for each in (about, shape.pop("description", "")) if each)
    told = {**shape, **({"description": sentence} if sentence else {})}
    told |= {} if example is None else {"examples": [example]}
    if kwargs.get("required"):
        missing = Disallowed(MISSING, wanted or _wanted(told, example))
        kwargs = {**kwargs, "error_messages": {"required": [missing], **kwargs.get("error_messages", {})}}
    return {**kwargs, "metadata": {**told, **kwargs.get("metadata", {})}}


def _wanted(told: Mapping[str, Any], example: object) -> str:
    """What may stand where nothing stands: words, a range with its unit, a kind of value; and an example."""
    if "enum" in told:
        return ", ".join(str(each) for each in told["enum"] if each is not None)
    number = next((each for each in told.get("anyOf", (told,)) if each.get("type") in ("number", "integer")), None)
    if number is not None:
        return _such_as(_range(number, str(told.get("x-unit", ""))), example)
    kinds = {"string": say("a text"), "array": say("a list"), "boolean": say("true or false")}
    kind = kinds.get(str(told.get("type")))
    if kind is None:
        return say("a value")
    return _such_as(kind, example if isinstance(example, (str, int, float)) else None)


def _object(schema: object) -> Sentence:
    """An object, by the names that it cannot do without."""
    known: Mapping[str, fields.Field[Any]] = getattr(schema, "_declared_fields", {})
    needed = ", ".join(field.data_key or name for name, field in known.items() if field.required)
    return say("an object with {names}", names=needed) if needed else say("an object")


def _list_of(inner: fields.Field[Any]) -> Sentence:
    """A list, by what each of its entries cannot do without."""
    if not isinstance(inner, fields.Nested):
        return say("a list")
    return say("a list, each of it {what}", what=_object(inner.nested))


def _such_as(what: Sentence, example: object) -> Sentence:
    return what if example is None else say("{what}, such as {example}", what=what, example=str(example))


def _range(number: Mapping[str, Any], unit: str) -> Sentence:
    """A range as the description has it, its unit at the end."""
    low, above, high = (number.get(name) for name in ("minimum", "exclusiveMinimum", "maximum"))
    sign = unit and f" {unit}"
    first = above if low is None else low
    if first is None:
        return say("a number")
    least = figure(first, "g", "" if high is not None else sign)
    if high is None:
        return say("above {low}", low=least) if above is not None else say("{low} or more", low=least)
    most = figure(high, ".10g", sign)
    if above is not None:
        return say("above {low}, at most {high}", low=least, high=most)
    return say("{low} or more, at most {high}", low=least, high=most)


class Inner(fields.Nested):
    """A part of a document with a schema of its own."""

    def __init__(self, schema: type[Schema], about: str = "", **kwargs: Any) -> None:
        super().__init__(schema, **described({**kwargs, "about": about}, _object(schema)))

    def _load(self, value: Any, partial: Any = None) -> Any:
        _refuse_no_object(value, self)
        return super()._load(value, partial)


def _refuse_no_object(value: object, inner: fields.Nested) -> None:
    if not isinstance(value, Mapping):
        raise disallowed(say("not an object"), _object(inner.nested))


class Text(fields.Field[str]):
    """A text without control characters and halves of characters; markup and formula signs are text like any other."""

    def __init__(self, longest: int = 200, *, shortest: int = 0, lines: bool = False, **kwargs: Any) -> None:
        super().__init__(**described(kwargs, type="string", minLength=shortest, maxLength=longest))
        self.longest, self.shortest, self.lines = longest, shortest, lines

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> str:
        if not isinstance(value, str):
            raise ValidationError(say("not a text"))
        if not self.shortest <= len(value) <= self.longest:
            raise disallowed(say("{count} characters", count=len(value)), _from_to(self.shortest, self.longest))
        allowed = "\n\t" if self.lines else ""
        if any(unicodedata.category(sign) in {"Cc", "Cs"} and sign not in allowed for sign in value):
            raise disallowed(say("holds a control character or half of one"), say("characters that print"))
        return value


class Word(Text):
    """A text that must match a pattern or be one of some words."""

    def __init__(self, pattern: str, allowed: str, **kwargs: Any) -> None:
        super().__init__(metadata={"pattern": f"^(?:{pattern})$"}, **kwargs)
        self.matcher, self.allowed = re.compile(f"(?:{pattern})\\Z", re.ASCII), allowed

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> str:
        text = super()._deserialize(value, attr, data, **kwargs)
        if not self.matcher.match(text):
            raise disallowed(say("{value} is not allowed here", value=repr(text[:40])), self.allowed)
        return text


class OneOf(fields.Field[Any]):
    """One of a few words."""

    def __init__(self, *words: str, **kwargs: Any) -> None:
        listed: list[Any] = [*words, None] if kwargs.get("allow_none") else [*words]
        super().__init__(**described({"example": words[0], **kwargs}, enum=listed))
        self.words = words

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> str:
        if not isinstance(value, str) or value not in self.words:
            shown = repr(value[:40]) if isinstance(value, str) else say("this")
            raise disallowed(say("{value} is not allowed here", value=shown), ", ".join(self.words))
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
            raise ValidationError(say("not a number, nor a text of a number and a unit"))
        try:
            number = parse(value, self.dimension)
        except UnitFault as fault:
            raise disallowed(fault.message, fault.allowed) from fault
        return within(
            number,
            self.low,
            self.high,
            above=self.above,
            unit=units_of(self.dimension)[0],
            measures=_measured(self.dimension),
        )


class Real(fields.Field[float]):
    """A plain number within a range."""

    def __init__(self, low: float = -1e12, high: float = 1e12, *, above: bool = False, **kwargs: Any) -> None:
        bounds = {"exclusiveMinimum" if above else "minimum": low, "maximum": high}
        super().__init__(**described(kwargs, type="number", **bounds))
        self.low, self.high, self.above = low, high, above

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> float:
        if isinstance(value, bool) or not isinstance(value, (int, float)):
            raise ValidationError(say("not a number"))
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
            raise ValidationError(say("not a whole number"))
        if not self.low <= value <= self.high:
            raise disallowed(say("{value} is out of range", value=figure(value, ".6g")), _from_to(self.low, self.high))
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
            raise disallowed(say("not a decimal"), say("at most 12 digits, a point, at most 6 digits"))
        number = Decimal(text)
        if number < self.low or number > self.high or (self.below and number == self.high):
            ends = {"low": str(self.low), "high": str(self.high)}
            allowed = say("{low} below {high}", **ends) if self.below else say("{low} to {high}", **ends)
            raise disallowed(say("{value} is out of range", value=str(number)), allowed)
        return number


class Bool(fields.Field[bool]):
    """true or false, nothing that merely sounds like it."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**described({"example": True, **kwargs}, type="boolean"))

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> bool:
        if not isinstance(value, bool):
            raise ValidationError(say("not true or false"))
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
        raise disallowed(say("not a date"), say("year-month-day, such as 2027-03-15"))


class Many(fields.Field[Any]):
    """A list of one kind of thing, its length looked at before anything in it is read; gives a tuple."""

    def __init__(self, inner: fields.Field[Any], most: int, *, least: int = 0, **kwargs: Any) -> None:
        super().__init__(**described(kwargs, _list_of(inner)))
        self.inner, self.most, self.least = inner, most, least

    def _bind_to_schema(self, field_name: str, parent: Any) -> None:
        super()._bind_to_schema(field_name, parent)
        self.inner._bind_to_schema(field_name, self)

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> Any:
        if not isinstance(value, list):
            raise disallowed(say("not a list"), _list_of(self.inner))
        if not self.least <= len(value) <= self.most:
            raise disallowed(say("{count} entries", count=len(value)), _from_to(self.least, self.most))
        read: list[Any] = []
        faults: dict[int, Any] = {}
        for at, item in enumerate(value):
            try:
                if isinstance(self.inner, fields.Nested):
                    _refuse_no_object(item, self.inner)
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
            raise ValidationError(say("not a pair [from, to]"))
        low, high = (self.one.deserialize(item) for item in value)
        if low is None or high is None:
            raise ValidationError(say("not a pair of numbers"))
        if low > high:
            raise ValidationError(
                say("from {low} to {high}: the first is the larger", low=figure(low, "g"), high=figure(high, "g"))
            )
        return low, high


class Named(fields.Field[Any]):
    """An object of free names, each with one kind of value; gives a tuple of pairs in the order of the names."""

    def __init__(self, inner: fields.Field[Any], most: int, *, kind: Mapping[str, Any], **kwargs: Any) -> None:
        super().__init__(**described(kwargs, type="object", additionalProperties=kind, maxProperties=most))
        self.inner, self.most = inner, most
        self.word = Text(80, shortest=1)

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> Any:
        if not isinstance(value, dict):
            example = next(iter(self.metadata.get("examples", ())), None)
            told = None if example is None else json.dumps(example)
            raise disallowed(say("not an object"), _such_as(say("an object"), told))
        if len(value) > self.most:
            raise disallowed(say("{count} entries", count=len(value)), say("at most {most}", most=self.most))
        read, faults = [], {}
        for key, item in sorted(value.items()):
            try:
                read.append((self.word.deserialize(key), self.inner.deserialize(item)))
            except ValidationError as fault:
                faults[key] = fault.messages
        if faults:
            raise ValidationError(faults)
        return tuple(read)


def within(
    number: float, low: float, high: float, *, above: bool = False, unit: str = "", measures: Measures = "number"
) -> float:
    """The number itself if it is finite and in range. Errors: ValidationError naming the range."""
    if not math.isfinite(number):
        raise ValidationError(say("not a finite number"))
    if number < low or number > high or (above and number == low):
        sign = unit and f" {unit}"
        least = figure(low, "g", "" if not math.isinf(high) else sign, measures)
        most = figure(high, "g", sign, measures)
        if math.isinf(high):
            allowed = say("above {low}", low=least) if above else say("{low} or more", low=least)
        else:
            allowed = say("above {low}, at most {high}", low=least, high=most) if above else _span(least, most)
        raise disallowed(say("{value} is out of range", value=figure(number, ".6g", sign, measures)), allowed)
    return number


def _span(low: Figure, high: Figure) -> Sentence:
    return say("{low} to {high}", low=low, high=high)


def _from_to(low: int, high: int) -> Sentence:
    return say("{low} to {high}", low=str(low), high=str(high))


def _measured(dimension: Dimension) -> Measures:
    return cast(Measures, dimension) if dimension in get_args(Measures) else "number"
