"""The version of the contract: it changes with what answers say of an offer, so that kept answers are made anew."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from functools import cache
from types import CodeType

from estimator import __version__
from estimator.contract.answers.fields import ByName, One
from estimator.contract.answers.offer.offer import OfferAnswerSchema
from estimator.contract.answers.offer.summary import PART_SCHEMAS, QuoteEstimateSchema
from estimator.contract.answers.writing import Answer, Told


@cache
def contract_version() -> str:
    """Eight digits that stand for the engine's version and every field of an offer's answer, as it is written."""
    schemas: tuple[type[Answer], ...] = (OfferAnswerSchema, QuoteEstimateSchema, *PART_SCHEMAS.values())
    told = "\n".join(each for schema in schemas for each in _fields(schema, set()))
    return hashlib.sha256(f"{__version__}\n{told}".encode()).hexdigest()[:8]


def _fields(schema: type[Answer], seen: set[type[Answer]]) -> Iterator[str]:
    if schema in seen:
        return
    seen.add(schema)
    for name, field in schema._declared_fields.items():
        if isinstance(field, Told):
            code = getattr(field.of, "__code__", None)
            told = (type(field).__name__, field.data_key, _code(code) if code else field.of, field.costs, field.null)
            yield f"{schema.__name__}.{name} {told}"
        if isinstance(field, (One, ByName)) and field.schema is not None:
            yield from _fields(field.schema, seen)


def _code(code: CodeType) -> str:
    """What a function does, without the place it stands at."""
    constants = [_code(each) if isinstance(each, CodeType) else repr(each) for each in code.co_consts]
    return f"{code.co_names} {constants} {code.co_code.hex()}"
