"""Records to bytes and back without loss: how an offer is kept, so that no later engine or book changes it.

Every value says what it is (a record by its class, a decimal, a fraction, a date, a set, a mapping), so that a field
of any type survives. Source: common practice, no source.
"""

from __future__ import annotations

import math
import zlib
from base64 import b64decode, b64encode
from collections.abc import Callable, Mapping
from dataclasses import fields, is_dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from functools import cache
from importlib import import_module
from numbers import Integral, Real
from typing import Any

import numpy as np
import orjson

from estimator.errors import Conflict
from estimator.sentences import Figure, Sentence

FORMAT = 1
"""The number of this way of writing. A change that old bytes do not fit raises it and teaches ``thaw`` the old one."""

MOVED: dict[str, str] = {}
"""Old places of records, "module:Class", and where they stand now."""

_PACKAGE = __name__.partition(".")[0]
_PLAIN = (str, int, bool, type(None))


def freeze(record: object) -> bytes:
    """A tree of records as compressed bytes; equal trees give equal bytes.

    Errors: TypeError for a value that is no record, number, text, date, tuple, set or mapping.

    >>> thaw(freeze((Decimal("1.10"), Fraction(1, 3), frozenset({"b", "a"}))))[:2]
    (Decimal('1.10'), Fraction(1, 3))
    """
    return zlib.compress(orjson.dumps({"format": FORMAT, "record": _out(record)}), 6)


def thaw(kept: bytes) -> Any:
    """The records back. Errors: Conflict if they were written in a way this version cannot read."""
    document = orjson.loads(zlib.decompress(kept))
    if document["format"] != FORMAT:
        raise Conflict(f"kept in format {document['format']}, this version reads format {FORMAT}")
    try:
        return _in(document["record"])
    except (AttributeError, ImportError, TypeError, KeyError) as fault:
        raise Conflict(f"kept by a version whose records this one cannot read: {fault}") from fault


def _out(value: Any) -> Any:
    kind = type(value)
    if kind in _PLAIN:
        return value
    if kind is float:
        return value if math.isfinite(value) else {"@x": repr(value)}
    if kind is tuple:
        return [_out(item) for item in value]
    if is_dataclass(kind):
        return {"@": _name(kind), **{name: _out(getattr(value, name)) for name in _names(kind)}}
    return _other_out(value)


def _other_out(value: Any) -> Any:
    for kind, write in _WRITERS:
        if isinstance(value, kind):
            return write(value)
    raise TypeError(f"a {type(value).__name__} cannot be kept")


_WRITERS: tuple[tuple[type, Callable[[Any], Any]], ...] = (
    (Decimal, lambda value: {"@d": str(value)}),
    (Fraction, lambda value: {"@q": str(value)}),
    (date, lambda value: {"@t": value.isoformat()}),
    (bytes, lambda value: {"@b": b64encode(value).decode()}),
    (frozenset, lambda value: {"@s": sorted((_out(item) for item in value), key=repr)}),
    (Mapping, lambda value: {"@m": [[_out(key), _out(item)] for key, item in value.items()]}),
    (np.ndarray, lambda value: {"@a": [str(value.dtype), list(value.shape), _out(tuple(value.ravel().tolist()))]}),
    (Sentence, lambda value: {"@i": [value.template, [[name, _out(item)] for name, item in value.values]]}),
    (Figure, lambda value: {"@f": [str(value), _out(value.value), value.measures]}),
    (str, str),
    (Integral, int),
    (Real, lambda value: _out(float(value))),
    (tuple, lambda value: _out(tuple(value))),
)


def _in(value: Any) -> Any:
    kind = type(value)
    if kind is list:
        return tuple([_in(item) for item in value])
    if kind is not dict:
        return value
    if "@" in value:
        made = _class(value["@"])
        return made(**{name: _in(item) for name, item in value.items() if name != "@"})
    ((mark, inner),) = value.items()
    return _READERS[mark](inner)


_READERS: dict[str, Callable[[Any], Any]] = {
    "@x": float,
    "@d": Decimal,
    "@q": Fraction,
    "@t": date.fromisoformat,
    "@b": b64decode,
    "@s": lambda items: frozenset(_in(item) for item in items),
    "@a": lambda kept: np.array(_in(kept[2]), dtype=kept[0]).reshape(kept[1]),
    "@i": lambda kept: Sentence(kept[0], [(name, _in(item)) for name, item in kept[1]]),
    "@f": lambda kept: Figure(kept[0], _in(kept[1]), kept[2]),
    "@m": lambda pairs: {_in(key): _in(item) for key, item in pairs},
}


@cache
def _names(kind: type) -> tuple[str, ...]:
    return tuple(field.name for field in fields(kind) if field.init)


@cache
def _name(kind: type) -> str:
    return f"{kind.__module__.removeprefix(_PACKAGE + '.')}:{kind.__qualname__}"


@cache
def _class(name: str) -> type:
    module, _, qualname = MOVED.get(name, name).partition(":")
    found = getattr(import_module(f"{_PACKAGE}.{module}"), qualname)
    if not (isinstance(found, type) and is_dataclass(found)):
        raise TypeError(f"{name} is no record")
    return found
