"""What a schema found, as faults with JSON Pointers, and documents read into records with every fault at once."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, TypeAlias

import orjson
from marshmallow import Schema, ValidationError

from estimator.errors import MISSING, Fault, JobRefused, Refused
from estimator.job import Job
from estimator.sentences import Sentence, say

Document: TypeAlias = Any
DEEPEST = 32
SCHEMA_WIDE = "_schema"
_IN_OUR_WORDS = {
    "Unknown field.": say("unknown field"),
    "Missing data for required field.": MISSING,
    "Field may not be null.": say("null is not allowed here"),
    "Invalid input type.": say("not an object"),
}
"""What the library says by itself, in the words of this service."""


@dataclass(frozen=True, slots=True)
class Disallowed:
    """What is wrong with a value, and what is allowed instead: a message of a schema that keeps both apart."""

    message: Sentence
    allowed: str


def disallowed(message: Sentence, allowed: str, field: str = SCHEMA_WIDE) -> ValidationError:
    """The error a field or a schema raises where it can say what is allowed."""
    return ValidationError([Disallowed(message, allowed)], field)


class RequestRefused(Refused):
    """The request does not have the shape it needs."""


class NotJson(Refused):
    """What was posted is no JSON document, or one nested too deeply."""


def parse_json(body: bytes) -> Document:
    """The document of a body. Errors: NotJson (not JSON, NaN, half characters, nested too deeply)."""
    try:
        document = orjson.loads(body)
    except orjson.JSONDecodeError as fault:
        raise NotJson(say("not a JSON document: {fault}", fault=str(fault))) from fault
    if not _is_shallow(document):
        raise NotJson(say("nested more than {deepest} deep", deepest=DEEPEST))
    json.loads(body, object_pairs_hook=_each_name_once, parse_int=str, parse_float=str)
    return document


def _each_name_once(members: list[tuple[str, Any]]) -> None:
    """Refuse an object in which a name stands twice: readers differ in which one they take. Source: RFC 8259, 4."""
    if len({name for name, _ in members}) < len(members):
        names = [name for name, _ in members]
        twice = next(name for at, name in enumerate(names) if name in names[:at])
        raise NotJson(say("the name {twice} stands twice in one object", twice=repr(twice[:80])))


def read(schema: Schema, document: Document, refusal: type[Refused] = RequestRefused, base: str = "") -> Document:
    """A document through a schema. Errors: the refusal, with every fault and its pointer."""
    if not isinstance(document, dict):
        raise refusal(say("not a JSON object"), [Fault(base, say("not a JSON object"))])
    try:
        return schema.load(document)
    except ValidationError as found:
        faults = tuple(faults_of(found.messages, base))
        raise refusal(_summary(faults), faults) from found


def read_job(document: Document, schema: Schema) -> Job:
    """A job document as the record. Errors: JobRefused."""
    job: Job = read(schema, document, JobRefused)
    return job


def faults_of(messages: object, base: str = "") -> Iterator[Fault]:
    """A tree of messages as faults, in the order of the document's names."""
    if isinstance(messages, Mapping):
        for name, inner in messages.items():
            yield from faults_of(inner, base if name == SCHEMA_WIDE else f"{base}/{escape(str(name))}")
    elif isinstance(messages, (list, tuple)):
        for inner in messages:
            yield from faults_of(inner, base)
    elif isinstance(messages, Disallowed):
        yield Fault(base, messages.message, messages.allowed)
    else:
        plain = messages if isinstance(messages, Sentence) else Sentence(str(messages))
        yield Fault(base, _IN_OUR_WORDS.get(plain, plain))


def escape(name: str) -> str:
    """One step of a JSON Pointer. Source: RFC 6901, section 3."""
    return name.replace("~", "~0").replace("/", "~1")


def moved(faults: Iterable[Fault], base: str, names: Iterable[str]) -> tuple[Fault, ...]:
    """Faults of a job as faults of the request that holds it at ``base``."""
    inside = tuple(f"/{name}" for name in names)
    return tuple(
        Fault(base + fault.pointer, fault.message, fault.allowed)
        if any(fault.pointer == name or fault.pointer.startswith(name + "/") for name in inside)
        else fault
        for fault in faults
    )


def merge_patch(target: Document, patch: Document) -> Document:
    """A document with a patch merged in; null takes a field away. Source: RFC 7396, section 2.

    >>> merge_patch({"a": "b", "c": {"d": "e", "f": "g"}}, {"a": "z", "c": {"f": None}})
    {'a': 'z', 'c': {'d': 'e'}}
    """
    if not isinstance(patch, dict):
        return patch
    merged = dict(target) if isinstance(target, dict) else {}
    for name, value in patch.items():
        if value is None:
            merged.pop(name, None)
        else:
            merged[name] = merge_patch(merged.get(name), value)
    return merged


def _summary(faults: tuple[Fault, ...]) -> Sentence:
    place, message = faults[0].pointer or say("the top"), faults[0].message
    if len(faults) == 1:
        return say("1 fault; the first at {place}: {message}", place=place, message=message)
    return say("{count} faults; the first at {place}: {message}", count=len(faults), place=place, message=message)


def _is_shallow(document: Document) -> bool:
    level = [document]
    for _ in range(DEEPEST):
        level = (
            [
                inner
                for each in level
                for inner in (each.values() if isinstance(each, dict) else each)
                if isinstance(inner, (dict, list))
            ]
            if level and not (len(level) == 1 and not isinstance(level[0], (dict, list)))
            else []
        )
        if not level:
            return True
    return False
