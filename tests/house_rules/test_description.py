"""Every field of the description says what it is: a sentence, its unit, its range, an example."""

from estimator.api.description.openapi import describe
from estimator.api.v1 import RESOURCES

DESCRIBED = describe(RESOURCES, "0")
FIELDS = [
    (f"{name}.{key}", field)
    for name, schema in DESCRIBED["components"]["schemas"].items()
    for key, field in schema.get("properties", {}).items()
]
WITH_PARTS = ("$ref", "allOf", "properties")
BOUNDS = {"minimum", "exclusiveMinimum", "maximum", "enum"}
"""A number that may be negative (a pressure, a coordinate) has no least; its unit says what it is."""


def kinds(field):
    """The shapes that a field's values may have, null aside."""
    return [each for each in field.get("anyOf", [field]) if each.get("type") != "null"]


def has_parts(field):
    return any(each.get(name) for each in kinds(field) for name in WITH_PARTS) or any(
        "$ref" in str(each.get("items", each.get("additionalProperties"))) for each in kinds(field)
    )


def types(kind):
    """The types of a shape, null aside."""
    given = kind.get("type", [])
    return {given} if isinstance(given, str) else {*given} - {"null"}


def lacking(name, field):
    """What a field does not say."""
    if not field.get("description", "").endswith("."):
        yield "a sentence"
    if has_parts(field):
        return
    if not field.get("examples"):
        yield "an example"
    for kind in kinds(field):
        if not {"type", "enum"} & kind.keys() and not name.startswith("Difference"):
            yield "what its values may be"
        if types(kind) == {"number"} and not ("x-unit" in field or BOUNDS & kind.keys()):
            yield "a unit or a range"
        if types(kind) == {"integer"} and not (BOUNDS & kind.keys() or "below zero" in field["description"]):
            yield "a range"


def test_there_are_fields():
    assert len(FIELDS) > 500


def test_a_field_has_a_sentence_a_unit_a_range_and_an_example():
    assert [(name, what) for name, field in FIELDS for what in lacking(name, field)] == []


def test_a_schema_says_what_it_is():
    lacking = [name for name, schema in DESCRIBED["components"]["schemas"].items() if not schema.get("description")]
    assert lacking == []


def test_every_object_is_closed_but_a_patch():
    """A merge patch may hold whatever the whole may hold; it is read once it is merged."""
    opened = {
        name
        for name, schema in DESCRIBED["components"]["schemas"].items()
        if schema.get("additionalProperties") is not False
    }
    assert opened == {"JobPatch"}
