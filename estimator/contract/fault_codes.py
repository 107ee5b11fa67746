"""What programs know a fault by: a stable name for each kind, whatever its words."""

from __future__ import annotations

from estimator.errors import Fault
from estimator.sentences import Sentence

OTHER = "other"
CODES = {
    "unknown_field": ("unknown field",),
    "missing": ("missing",),
    "null": ("null is not allowed here",),
    "wrong_kind": (
        "not an object",
        "not a JSON object",
        "not a text",
        "not a number, nor a text of a number and a unit",
        "not a number",
        "not a whole number",
        "not a decimal",
        "not true or false",
        "not a date",
        "not a list",
        "not a pair [from, to]",
        "not a pair of numbers",
        "not a finite number",
    ),
    "unreadable_quantity": (
        "not a quantity",
        "not a number with a unit",
        "{text} is not a number with a unit",
        "{text} is not a number",
        "the number is too large",
    ),
    "wrong_unit": ("unit {unit} is not allowed here",),
    "wrong_length": ("{count} characters", "{count} entries"),
    "unprintable": ("holds a control character or half of one",),
    "not_allowed": ("{value} is not allowed here",),
    "out_of_range": ("{value} is out of range", "gauge {gauge} is not in the table"),
    "wrong_order": ("from {low} to {high}: the first is the larger",),
    "wrong_material": ("gauge numbers are for steel sheet only",),
    "too_many": ("the job has {count} arrays", "the job has {count} obstructions", "{count} ribs on one plane"),
    "nothing_there": (
        "no array to estimate",
        "every cell is left out",
        "array {array} has no rows",
        "array {array} has no columns",
        "no rib lies on roof plane {roof}",
    ),
    "same_name": ("number {number} has the name {name} too",),
    "too_close": ("the ribs stand on one another",),
    "too_large": (
        "the module is larger than the roof: {extent} along the eave in array {array}; "
        "roof plane {roof} is {room} along the eave",
        "the module is larger than the roof: {extent} up the slope in array {array}; "
        "roof plane {roof} is {room} up the slope",
        "{count} columns of array {array} reach {reach}; roof plane {roof} is {room} along the eave",
        "{count} rows of array {array} reach {reach}; roof plane {roof} is {room} up the slope",
    ),
    "outside": ("{count} of the cells left out lie outside array {array}: {cells}",),
}
"""The sentences that say each kind of fault."""
_BY_TEMPLATE = {template: code for code, templates in CODES.items() for template in templates}


def code_of(fault: Fault) -> str:
    """The name of a fault's kind; ``other`` where it has none of its own.

    >>> from estimator.sentences import say
    >>> code_of(Fault("/roofs/0/slope", say("missing"))), code_of(Fault("/roofs", "in words alone"))
    ('missing', 'other')
    """
    return _BY_TEMPLATE.get(fault.message.template, OTHER) if isinstance(fault.message, Sentence) else OTHER
