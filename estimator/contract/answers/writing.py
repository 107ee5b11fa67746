"""How an answer is written: the schema that describes it is compiled once into a function that makes its JSON values.

marshmallow's own ``dump`` looks up every attribute of every object by name, at about six times the cost of a function
written by hand. So each schema is turned once into the source of that function (one dictionary display), as dataclasses
and attrs do with theirs. What a field is, where its value comes from, and how it is described stand in one place.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from copy import copy
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import cache
from typing import Any, ClassVar, cast

import orjson
from marshmallow import RAISE, Schema, fields

from estimator.units import DisplayUnits, SaidDimension, as_text

Entry = dict[str, Any]
Writer = Callable[[Any, "Telling"], Entry]
Source = str | tuple[str, ...] | Callable[[Any, "Telling"], Any] | None
"""Where a value comes from: a path of attributes (or several, for a list), a function of record and telling, or else
the field's own name."""
ITSELF = "."
"""The record itself: for a part of an answer that has no record of its own."""


@dataclass(frozen=True, slots=True)
class Telling:
    """For whom an answer is written: with costs or without, in which units people read, with which places of money.

    ``places`` are those in which prices of bars are kept, ``least`` those of the currency's minor unit; ``run_labels``
    name the runs by which a cut plan numbers them; ``workbook`` is what a workbook that was sent back changed;
    ``parts`` name what is told beyond the summary of a quote.
    """

    costs: bool = True
    units: DisplayUnits = "metric"
    places: int = 2
    least: int = 2
    run_labels: tuple[str, ...] = ()
    workbook: Any = None
    parts: frozenset[str] = frozenset()

    def text(self, value: float, dimension: SaidDimension) -> str:
        """A quantity as people read it."""
        return as_text(value, dimension, self.units)


class Answer(Schema):
    """A part of an answer; ``record`` is what it is written from, so that every path of attributes can be checked.

    ``above`` is the path to the record of the fields inherited; ``first_of`` names a list of which the first entry
    gives them.
    """

    record: ClassVar[Any] = None
    above: ClassVar[str] = ""
    first_of: ClassVar[str] = ""

    class Meta:
        """Nothing but what is described stands in an answer."""

        unknown = RAISE

    @classmethod
    def entry(cls, record: Any, telling: Telling) -> Entry:
        """The record as JSON values."""
        return writer(cls, telling.costs)(record, telling)


def without(schema: type[Answer], name: str, about: str, *left_out: str, **instead: Told) -> type[Answer]:
    """A schema as another, with some of its fields left out and some told otherwise."""
    kept = {each: copy(field) for each, field in schema._declared_fields.items() if each not in left_out}
    made = {"__doc__": about, "__module__": schema.__module__, "record": schema.record, **kept, **instead}
    return cast(type[Answer], type(name, (Answer,), made))


class Names(dict[str, Any]):
    """The names that a compiled function knows."""

    def add(self, thing: object) -> str:
        """A name for a thing."""
        name = f"n{len(self)}"
        self[name] = thing
        return name

    def fresh(self) -> str:
        """A name for a variable that no other part uses."""
        return self.add(None).replace("n", "r")


class Told(fields.Field[Any]):
    """One field of an answer: a sentence, an example, what its values may be, and where they come from.

    ``costs``: only roles that see costs get it. ``optional``: left out where there is nothing to tell. ``part``: told
    only where that part is asked for. ``null``: may be null. What else is given describes its values in the words of
    JSON Schema.
    """

    shape: ClassVar[Entry] = {}

    def __init__(
        self,
        about: str,
        of: Source = None,
        *,
        example: object = None,
        key: str | None = None,
        null: bool = False,
        optional: bool = False,
        costs: bool = False,
        **described: Any,
    ) -> None:
        self.part: str = described.pop("part", "")
        super().__init__(required=not (costs or optional or self.part), allow_none=null, data_key=key)
        self.about, self.of, self.example, self.extra = about, of, example, described
        self.null, self.optional, self.costs = null, optional, costs

    def described(self, _converter: Any) -> Entry:
        """The field in the words of JSON Schema."""
        shape = {**self.shape, **self.extra}
        if self.null and "type" in shape:
            shape["type"] = [shape["type"], "null"]
        if self.null and "enum" in shape:
            shape["enum"] = [*shape["enum"], None]
        return {**shape, **self.told()}

    def told(self) -> Entry:
        """Sentence and example."""
        about = f"{self.about} Only for roles that see costs." if self.costs else self.about
        return {"description": about} | ({} if self.example is None else {"examples": [self.example]})

    def code(self, value: str, names: Names, *, costs: bool) -> str:
        """The source of an expression that makes the JSON value of ``value``."""
        return value


@cache
def writer(schema: type[Answer], costs: bool) -> Writer:
    """The function that writes records by a schema, with costs or without."""
    names = Names()
    own, more = _members(schema, "it", names, costs=costs)
    first = f"    e = {{**(e[{schema.first_of!r}] or ({{}},))[0], **e}}\n" if schema.first_of else ""
    there = "".join(f"    if {condition}:\n        e[{key!r}] = {value}\n" for key, (condition, value) in more.items())
    source = f"def write(it, to):\n    e = {_display(own)}\n{first}{there}    return e\n"
    exec(compile(source, f"<{schema.__name__}>", "exec"), names)  # noqa: S102  source made here, of our own schemas
    written: Writer = names["write"]
    return written


def part(schema: type[Answer], root: str, names: Names, *, costs: bool) -> str:
    """The source of what writes ``root`` by a schema: a display in place, or a call where something may be left out."""
    inside = Names()
    _, more = _members(schema, root, inside, costs=costs)
    if more or schema.first_of:
        return f"{names.add(writer(schema, costs))}({root}, to)"
    return _display(_members(schema, root, names, costs=costs)[0])


def _display(members: Mapping[str, str]) -> str:
    return f"{{{', '.join(f'{key!r}: {value}' for key, value in members.items())}}}"


def _members(
    schema: type[Answer], root: str, names: Names, *, costs: bool
) -> tuple[dict[str, str], dict[str, tuple[str, str]]]:
    """Source by key, of what always stands there and, with its condition, of what may be left out."""
    parent: Any = schema.__mro__[1]
    inherited = set(parent._declared_fields) if schema.above or schema.first_of else set()
    own: dict[str, str] = {}
    more: dict[str, tuple[str, str]] = {}
    for name, field in schema._declared_fields.items():
        if not isinstance(field, Told) or (field.costs and not costs) or (schema.first_of and name in inherited):
            continue
        place = f"{root}.{schema.above}" if name in inherited else root
        value = field.code(_source(field, place, name, names), names, costs=costs)
        key = field.data_key or name
        if field.part:
            more[key] = (f"{field.part!r} in to.parts", value)
        elif field.optional:
            more[key] = (f"(v := {value}) is not None", "v")
        else:
            own[key] = value
    return own, more


def _source(field: Told, root: str, name: str, names: Names) -> str:
    if callable(field.of):
        return f"{names.add(field.of)}({root}, to)"
    if field.of == ITSELF:
        return root
    if isinstance(field.of, tuple):
        return f"[{', '.join(_path(root, each) for each in field.of)}]"
    return _path(root, field.of or name)


def _path(root: str, path: str) -> str:
    """Attributes by their names; a number is a place in a tuple."""
    steps = path.split(".")
    if not all(step.isidentifier() or step.isdigit() for step in steps):
        raise ValueError(f"{path!r} is no path of attributes")
    return root + "".join(f"[{step}]" if step.isdigit() else f".{step}" for step in steps)


def dump(document: Any) -> bytes:
    """JSON of plain values; decimals and fractions travel as texts."""
    return orjson.dumps(document, default=_plain, option=orjson.OPT_NON_STR_KEYS | orjson.OPT_SERIALIZE_NUMPY)


def _plain(value: object) -> object:
    if isinstance(value, (Decimal, Fraction)):
        return str(value)
    if isinstance(value, (set, frozenset)):
        return sorted(value, key=repr)
    if isinstance(value, float) and not math.isfinite(value):
        return None
    raise TypeError(f"a {type(value).__name__} is no JSON")
