"""The fields of answers: each describes its values and says how they are written."""

from __future__ import annotations

import math
from datetime import datetime
from decimal import Decimal
from typing import Any, ClassVar, cast

from estimator.contract.answers.writing import ITSELF, Answer, Entry, Names, Source, Told, part, writer
from estimator.contract.requests.places import PlaceSchema
from estimator.money import Money, minor_digits
from estimator.units import SaidDimension

MONEY = r"^-?\d+(\.\d+)?$"


class Words(Told):
    """A text."""

    shape: ClassVar[Entry] = {"type": "string"}


class OneWord(Told):
    """One of a few words."""

    shape: ClassVar[Entry] = {"type": "string"}

    def __init__(self, about: str, words: tuple[str, ...], of: Source = None, **more: Any) -> None:
        super().__init__(about, of, **{"example": words[0], "enum": list(words), **more})


class NumberOrText(Told):
    """A number or a text, as it was found."""

    shape: ClassVar[Entry] = {"type": ["number", "string"]}

    def described(self, converter: Any) -> Entry:
        """Null is one more kind."""
        shape = super().described(converter)
        return shape | ({"type": ["number", "string", "null"]} if self.null else {})


class Number(Told):
    """A number with its unit ("1" for a share or a ratio); ``least`` is None where it may be negative."""

    shape: ClassVar[Entry] = {"type": "number"}

    def __init__(
        self,
        about: str,
        unit: str,
        of: Source = None,
        *,
        least: float | None = 0,
        most: float | None = None,
        **more: Any,
    ) -> None:
        bounds: Entry = {"x-unit": unit}
        bounds |= {} if least is None else {"minimum": least}
        bounds |= {} if most is None else {"maximum": most}
        super().__init__(about, of, **bounds, **more)


class Finite(Number):
    """A number that may be without limit: null where it is infinite."""

    def __init__(self, about: str, unit: str, of: Source = None, **more: Any) -> None:
        super().__init__(about, unit, of, null=True, **more)

    def code(self, value: str, names: Names, *, costs: bool) -> str:
        """Null where infinite."""
        return f"{names.add(_finite)}({value})"


class Mass(Number):
    """A mass in kg, to the gram, and of one part to the milligram: pounds have more digits than any scales."""

    def __init__(self, about: str, of: Source = None, *, places: int = 3, **more: Any) -> None:
        super().__init__(about, "kg", of, **more)
        self.places = places

    def code(self, value: str, names: Names, *, costs: bool) -> str:
        """Rounded; nothing stays nothing."""
        return f"{names.add(_rounded)}({value}, {self.places})"


def _rounded(kg: float | None, places: int) -> float | None:
    return None if kg is None else round(kg, places)


class Tenths(Number):
    """A length that is kept in whole tenths of a millimetre, as mm."""

    def code(self, value: str, names: Names, *, costs: bool) -> str:
        """A tenth of it."""
        return f"({value} / 10)"


class Whole(Told):
    """A whole number; ``least`` is None where it may be negative."""

    shape: ClassVar[Entry] = {"type": "integer"}

    def __init__(self, about: str, of: Source = None, *, least: int | None = 0, **more: Any) -> None:
        bounds: Entry = {} if least is None else {"minimum": least}
        super().__init__(about, of, **{"example": 4, **bounds, **more})


class Counted(Whole):
    """A row, column, rail, run or piece: answers count from 1, the inside from 0; none stays null."""

    def __init__(self, about: str, of: Source = None, **more: Any) -> None:
        super().__init__(about, of, least=1, **{"example": 1, **more})

    def code(self, value: str, names: Names, *, costs: bool) -> str:
        """One more."""
        return f"(None if (c := {value}) is None else c + 1)" if self.null else f"({value} + 1)"


class Truth(Told):
    """True or false."""

    shape: ClassVar[Entry] = {"type": "boolean"}

    def __init__(self, about: str, of: Source = None, **more: Any) -> None:
        super().__init__(about, of, **{"example": True, **more})


class MoneyText(Told):
    """An amount of money as a decimal text; its currency stands beside it. ``ready``: it is a text already."""

    shape: ClassVar[Entry] = {"type": "string", "pattern": MONEY}

    def __init__(self, about: str, of: Source = None, *, ready: bool = False, **more: Any) -> None:
        super().__init__(about, of, **{"example": "1234.56", **more})
        self.ready = ready

    def code(self, value: str, names: Names, *, costs: bool) -> str:
        """With the currency's decimals."""
        return value if self.ready else f"{names.add(money)}({value})"


class DecimalText(MoneyText):
    """An exact decimal as a text without an exponent."""

    def code(self, value: str, names: Names, *, costs: bool) -> str:
        """Every digit."""
        return f"{names.add(plain)}({value})"


class Date(Told):
    """A date as ISO 8601 writes it."""

    shape: ClassVar[Entry] = {"type": "string", "format": "date"}

    def __init__(self, about: str, of: Source = None, **more: Any) -> None:
        super().__init__(about, of, **{"example": "2027-03-15", **more})

    def code(self, value: str, names: Names, *, costs: bool) -> str:
        """Year, month, day."""
        return f"(None if (d := {value}) is None else d.isoformat())" if self.null else f"{value}.isoformat()"


class Moment(Told):
    """A moment as RFC 3339 writes it, in UTC."""

    shape: ClassVar[Entry] = {"type": "string", "format": "date-time"}

    def __init__(self, about: str, of: Source = None, **more: Any) -> None:
        super().__init__(about, of, **{"example": "2027-03-15T09:30:00Z", **more})

    def code(self, value: str, names: Names, *, costs: bool) -> str:
        """With a Z for UTC."""
        return f"{names.add(instant)}({value})"


class Values(Told):
    """A list of plain values of one kind; ``items`` describes them."""

    shape: ClassVar[Entry] = {"type": "array"}

    def __init__(self, about: str, items: Entry, of: Source = None, **more: Any) -> None:
        super().__init__(about, of, items=items, **more)


def numbers(about: str, unit: str, of: Source = None, **more: Any) -> Values:
    """A list of numbers of one unit."""
    return Values(about, {"type": "number"}, of, **{"x-unit": unit, "example": [1200.0, 2400.0], **more})


def texts(about: str, of: Source = None, **more: Any) -> Values:
    """A list of texts."""
    return Values(about, {"type": "string"}, of, **more)


def point(about: str, of: Source = None) -> Values:
    """A place on a roof plane: x along the eave, y up the slope, mm."""
    return Values(
        about, {"type": "number"}, of, **{"x-unit": "mm", "minItems": 2, "maxItems": 2, "example": [1500.0, 900.0]}
    )


class One(Told):
    """A part with a schema of its own."""

    def __init__(self, about: str, schema: type[Answer], of: Source = None, **more: Any) -> None:
        super().__init__(about, of, **more)
        self.schema = schema

    def described(self, converter: Any) -> Entry:
        """A reference, beside it the sentence."""
        inner = converter.resolve_nested_schema(self.schema)
        shape = {"anyOf": [inner, {"type": "null"}]} if self.null else inner
        return {**shape, **self.told()}

    def code(self, value: str, names: Names, *, costs: bool) -> str:
        """By the part's own schema."""
        if self.null or self.optional:
            return f"(None if (r := {value}) is None else {names.add(writer(self.schema, costs))}(r, to))"
        if not value.replace(".", "").replace("_", "").isalnum():  # not a mere path: computed once
            return f"{names.add(writer(self.schema, costs))}({value}, to)"
        return part(self.schema, value, names, costs=costs)


class PlaceTold(Told):
    """A place: what is named of it, numbers from 1."""

    def __init__(self, about: str, of: Source = None, **more: Any) -> None:
        super().__init__(about, of, **{"example": {"roof": "South", "array": "A", "row": 3, "rail": 1}, **more})

    def described(self, converter: Any) -> Entry:
        """The schema that reads places, beside it the sentence."""
        return {**converter.resolve_nested_schema(PlaceSchema), **self.told()}

    def code(self, value: str, names: Names, *, costs: bool) -> str:
        """Its facts."""
        return f"{value}.facts()"


class AllPlaced(PlaceTold):
    """A list of places."""

    def described(self, converter: Any) -> Entry:
        """A list of references."""
        inner = converter.resolve_nested_schema(PlaceSchema)
        return {"type": "array", "items": inner, **self.told()}

    def code(self, value: str, names: Names, *, costs: bool) -> str:
        """The facts of each."""
        return f"[p.facts() for p in {value}]"


class Each(One):
    """A list of parts."""

    def described(self, converter: Any) -> Entry:
        """A list of references."""
        inner = converter.resolve_nested_schema(self.schema)
        return {"type": "array", "items": inner, **self.extra, **self.told()}

    def code(self, value: str, names: Names, *, costs: bool) -> str:
        """Each by the parts' schema."""
        each = names.fresh()
        listed = f"[{part(self.schema, each, names, costs=costs)} for {each} in "
        return f"(None if (w := {value}) is None else {listed}w])" if self.optional else f"{listed}{value}]"


class EachOfEach(One):
    """A list of lists of parts."""

    def described(self, converter: Any) -> Entry:
        """A list of lists of references."""
        inner = {"type": "array", "items": converter.resolve_nested_schema(self.schema)}
        return {"type": "array", "items": inner, **self.extra, **self.told()}

    def code(self, value: str, names: Names, *, costs: bool) -> str:
        """Each by the parts' schema."""
        row, each = names.fresh(), names.fresh()
        return f"[[{part(self.schema, each, names, costs=costs)} for {each} in {row}] for {row} in {value}]"


class ByName(Told):
    """An object of free names; ``each`` describes a value, ``schema`` writes it where it has parts."""

    shape: ClassVar[Entry] = {"type": "object"}

    def __init__(
        self,
        about: str,
        of: Source = None,
        *,
        each: Entry | None = None,
        schema: type[Answer] | None = None,
        **more: Any,
    ) -> None:
        super().__init__(about, of, **more)
        self.each, self.schema = each or {}, schema

    def described(self, converter: Any) -> Entry:
        """An object with what its values are."""
        inner = self.each if self.schema is None else converter.resolve_nested_schema(self.schema)
        return {**super().described(converter), "additionalProperties": inner}

    def code(self, value: str, names: Names, *, costs: bool) -> str:
        """A dictionary of its own."""
        if self.schema is None:
            return f"dict({value})"
        return f"{{k: {names.add(writer(self.schema, costs))}(r, to) for k, r in {value}}}"


class DisplayTexts(Told):
    """Quantities as people read them, in the job's display units; each by its path and dimension."""

    def __init__(self, of: str = "", **quantities: tuple[str, SaidDimension]) -> None:
        super().__init__(
            "The quantities beside it as people read them, in the job's display units.", of or ITSELF, key="display"
        )
        self.quantities = quantities

    def described(self, _converter: Any) -> Entry:
        """An object of texts."""
        inner = {
            name: {
                "type": "string",
                "description": f"The field {name} as people read it.",
                "examples": [_READ[dimension]],
            }
            for name, (_, dimension) in self.quantities.items()
        }
        return {
            "type": "object",
            "properties": inner,
            "required": list(inner),
            "additionalProperties": False,
            **self.told(),
        }

    def code(self, value: str, names: Names, *, costs: bool) -> str:
        """One text for each."""
        texts = (
            f"{name!r}: to.text({value}.{path}, {dimension!r})" for name, (path, dimension) in self.quantities.items()
        )
        return f"{{{', '.join(texts)}}}"


class Link(Words):
    """The address of something else that this service has."""

    shape: ClassVar[Entry] = {"type": "string", "format": "uri-reference"}


def links_schema(name: str, about: str, links: dict[str, Link]) -> type[Answer]:
    """A schema of links that are made from a list."""
    return cast(type[Answer], type(name, (Answer,), {"__doc__": about, **links}))


_READ = {"length": "12 in", "mass": "53.07 lb"}


def money(amount: Money | None) -> str | None:
    """An amount with its currency's decimals, if there is one."""
    if amount is None:
        return None
    digits = minor_digits(amount.currency)
    rounded = amount.rounded()
    return f"{rounded.amount if rounded.amount == amount.amount else amount.amount:.{digits}f}"


def plain(number: Decimal) -> str:
    """A decimal without an exponent."""
    return f"{number:f}"


def instant(moment: datetime | None) -> str | None:
    """A moment as RFC 3339 writes it."""
    return moment.isoformat().replace("+00:00", "Z") if moment else None


def _finite(number: float) -> float | None:
    return number if math.isfinite(number) else None
