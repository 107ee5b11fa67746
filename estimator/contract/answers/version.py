"""The version of the contract: it changes with what answers say of an offer, so that kept answers are made again."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from types import CodeType

from estimator import __version__
from estimator.contract.answers.fields import ByName, One
from estimator.contract.answers.writing import Answer, Told


def version_of(*schemas: type[Answer]) -> str:
    """Eight digits that stand for the engine's version and every field of answers, as it is written."""
    told = "\n".join(each for schema in schemas for each in _fields(schema, set()))
    return hashlib.sha256(f"{__version__}\n{told}".encode()).hexdigest()[:8]


def _fields(schema: type[Answer], seen: set[type[Answer]]) -> Iterator[str]:
    if schema in seen:
        return
    seen.add(schema)
    for name, field in schema._declared_fields.items():
        if isinstance(field, Told):
            told = (type(field).__name__, field.data_key, _source(field), field.costs, field.null)
            yield f"{schema.__name__}.{name} {told}"
        if isinstance(field, (One, ByName)) and field.schema is not None:
            yield from _fields(field.schema, seen)


def _source(field: Told) -> str:
    """Where a field's values come from: a path, or what a function does and with which words it was made."""
    code = getattr(field.of, "__code__", None)
    if code is None:
        return repr(field.of)
    made_with = [each.cell_contents for each in getattr(field.of, "__closure__", None) or ()]
    return f"{_code(code)} {[each for each in made_with if isinstance(each, str)]}"


def _code(code: CodeType) -> str:
    """What a function does, without the place it stands at; the same in every process."""
    constants = [_constant(each) for each in code.co_consts]
    return f"{code.co_names} {constants} {code.co_code.hex()}"


def _constant(value: object) -> str:
    if isinstance(value, CodeType):
        return _code(value)
    return repr(sorted(value, key=repr)) if isinstance(value, frozenset) else repr(value)
