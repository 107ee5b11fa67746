"""The shapes of answers, for the description. Whether answers keep to them is tested against the description."""

from __future__ import annotations

from typing import Any

from marshmallow import Schema, fields

MONEY = r"^-?\d+(\.\d+)?$"


def text(**more: Any) -> fields.Field[Any]:
    """A text."""
    return fields.Raw(metadata={"type": "string", **more}, required=True)


def maybe(kind: str, **more: Any) -> fields.Field[Any]:
    """A value that may be null."""
    return fields.Raw(metadata={"type": [kind, "null"], **more}, required=True)


def number() -> fields.Field[Any]:
    """A number."""
    return fields.Raw(metadata={"type": "number"}, required=True)


def whole() -> fields.Field[Any]:
    """A whole number."""
    return fields.Raw(metadata={"type": "integer"}, required=True)


def truth() -> fields.Field[Any]:
    """True or false."""
    return fields.Raw(metadata={"type": "boolean"}, required=True)


def money(*, always: bool = True) -> fields.Field[Any]:
    """An amount as a decimal text; where not ``always``, only roles that see costs get it."""
    return fields.Raw(metadata={"type": "string", "pattern": MONEY}, required=always)


def thing(**more: Any) -> fields.Field[Any]:
    """An object."""
    return fields.Raw(metadata={"type": "object", **more}, required=True)


def things(inner: type[Schema] | None = None, **more: Any) -> fields.Field[Any]:
    """A list of things."""
    if inner is not None:
        return fields.List(fields.Nested(inner), required=True)
    return fields.Raw(metadata={"type": "array", "items": more or {}}, required=True)


class CountsSchema(Schema):
    """The counts by name; lengths in mm, power in W, bars by stock length."""

    modules, row_segments, column_segments, runs = whole(), whole(), whole(), whole()
    run_length, power = number(), number()
    attachments, mid_clamps, end_clamps, pieces, cuts = whole(), whole(), whole(), whole(), whole()
    splices, expansion_splices, arrays, roofs = whole(), whole(), whole(), whole()
    bars = thing(additionalProperties={"type": "integer"})
    display = thing()


class RunSchema(Schema):
    """One rail: its ends on the roof plane; attachments and splices as distances from its start, mm.

    Rows (from the eave), columns (from the left) and rails count from 1.
    """

    label = text()
    row, column = maybe("integer"), maybe("integer")
    rail = whole()
    start, end = things(type="number"), things(type="number")
    length = number()
    attachments, splices, expansion_splices = things(type="number"), things(type="number"), things(type="number")
    utilisation = maybe("number")
    utilisations = things(type="number")
    zones = things(type="string")


class ArrayAnswerSchema(Schema):
    """One array: its runs, or its seats where there is no rail; seams (the lowest is 1) and columns count from 1."""

    name = text()
    counts = fields.Nested(CountsSchema, required=True)
    runs = things(RunSchema)
    seats = things(type="object")


class RoofAnswerSchema(Schema):
    """One roof."""

    name = text()
    counts = fields.Nested(CountsSchema, required=True)
    arrays = things(ArrayAnswerSchema)


class LineSchema(Schema):
    """One line of the bill with its derivation; cost, supplier and price rule only for roles that see costs."""

    part, role, group, description, unit = text(), text(), text(), text(), text()
    net, spare, required, pack_size, packs, ordered = whole(), whole(), whole(), whole(), whole(), whole()
    unit_mass, mass = number(), number()
    why = things(type="string")
    shares = things(type="object")
    unit_price, discount, price = money(), money(), money()
    unit_cost, cost = money(always=False), money(always=False)
    display = thing()


class CutPlanSchema(Schema):
    """Bars grouped by pattern, lengths in mm; cost and bound only for roles that see costs. Pieces count from 1.

    The cost is that of bars, splices and expansion splices, less the value of off-cuts kept. A bar's price holds from
    ``price_from`` bars of its part on (0: from the first); bars without pieces are bought to reach a price.
    """

    bars = things(type="object")
    cost, lower_bound = money(always=False), money(always=False)
    bar_cost, splice_cost, expansion_cost = money(always=False), money(always=False), money(always=False)
    offcut_value = money(always=False)
    proven_optimal = truth()
    waste = number()


class CheckSchema(Schema):
    """One check that does not hold, or one thing worth knowing."""

    code, message, where = text(), text(), text()
    severity = text(enum=["error", "warning", "note"])
    found = fields.Raw(required=True)
    allowed = fields.Raw(required=True)
    unit = text()
    overridden = fields.Raw(metadata={"type": "object"})


class TotalsSchema(Schema):
    """The totals in the order they are reached; cost and margin only for roles that see costs."""

    parts, discount, freight, labour, contingency = money(), money(), money(), money(), money()
    before_tax, tax, total = money(), money(), money()
    discount_rate, contingency_rate, tax_rate = money(), money(), money()
    tax_name, tax_per = text(), text()
    currency = text(pattern="^[A-Z]{3}$")
    cost, margin = money(always=False), money(always=False)


class ComparisonAnswerSchema(Schema):
    """The materials side by side, the saving of aluminium over steel, other ways, and why a way cannot be built."""

    aluminium, steel = maybe("object"), maybe("object")
    saving = thing()
    why_not = things(type="string")
    others = things(type="object")


class ProvenanceSchema(Schema):
    """What the numbers stand on."""

    pricebook, edition, sha256, engine, input_sha256 = text(), text(), text(), text(), text()
    priced_on, valid_until = text(format="date"), text(format="date")
    invented_prices = truth()


class OfferAnswerSchema(Schema):
    """A whole estimate."""

    reference, title = text(), text()
    display_units = text(enum=["metric", "us", "both"])
    counts = fields.Nested(CountsSchema, required=True)
    roofs = things(RoofAnswerSchema)
    loads_found = fields.Raw(metadata={"type": "object"}, required=True, data_key="loads")
    mounting = thing()
    choices = things(type="object")
    lines = things(LineSchema)
    cut_plan = fields.Nested(CutPlanSchema, required=True)
    clearance = thing()
    checks = things(CheckSchema)
    can_be_issued = truth()
    freight, labour = thing(), thing()
    totals = fields.Nested(TotalsSchema, required=True)
    comparison = fields.Nested(ComparisonAnswerSchema, required=True)
    cautions = things(type="string")
    provenance = fields.Nested(ProvenanceSchema, required=True)


class JobAnswerSchema(Schema):
    """A job as it is kept."""

    id, reference, title = text(format="uuid"), text(), text()
    version = whole()
    created_at, updated_at = text(format="date-time"), text(format="date-time")
    job = thing()
    links = thing()


class QuoteCardSchema(Schema):
    """A quote without its estimate."""

    id, job = text(format="uuid"), text(format="uuid")
    number = text()
    revision, version, standing_errors = whole(), whole(), whole()
    revises, order_list = maybe("string"), maybe("string")
    state = text(enum=["draft", "issued", "accepted", "declined", "expired"])
    pricebook, edition = text(), text()
    currency = text(pattern="^[A-Z]{3}$")
    total = money()
    choices = thing()
    prepared_by = text()
    dated, valid_until = text(format="date"), text(format="date")
    created_at = text(format="date-time")
    issued_at, answered_at = maybe("string"), maybe("string")
    links = thing()


class QuoteAnswerSchema(QuoteCardSchema):
    """A quote with its estimate and its overrides."""

    overrides = things(type="object")
    estimate = fields.Nested(OfferAnswerSchema, required=True)


class DifferencesAnswerSchema(Schema):
    """What changed from one quote to another."""

    from_quote = fields.Raw(metadata={"type": "string"}, data_key="from", required=True)
    to = text(format="uuid")
    inputs, choices, edition, counts = (
        things(type="object"),
        things(type="object"),
        things(type="object"),
        things(type="object"),
    )
    lines, totals = things(type="object"), things(type="object")


class EditionSchema(Schema):
    """One edition on a list."""

    id, edition, title, country, sha256 = text(), text(), text(), text(), text()
    currency = text(pattern="^[A-Z]{3}$")
    valid_from, valid_until = text(format="date"), text(format="date")
    uploaded = truth()
    links = thing()


class BookAnswerSchema(Schema):
    """What an edition offers, without prices."""

    id, edition, title, country, sha256, seller = text(), text(), text(), text(), text(), text()
    currency = text(pattern="^[A-Z]{3}$")
    valid_from, valid_until = text(format="date"), text(format="date")
    invented = truth()
    tiers, freight_zones = things(type="string"), things(type="string")
    brackets, rails, parts = things(type="object"), things(type="object"), things(type="object")


class OrderListAnswerSchema(Schema):
    """An order list: for each supplier its lines and total."""

    id, number = text(format="uuid"), text()
    quotes = things(type="string")
    created_at = text(format="date-time")
    version = whole()
    suppliers, checks = things(type="object"), things(type="object")
    left_in_stock, links = thing(), thing()


class CutPlanAnswerSchema(Schema):
    """A cut list planned: lengths in the unit asked in."""

    unit = text()
    bars = things(type="object")
    cost, lower_bound = money(), money()
    proven_optimal = truth()
    waste = number()
    seconds = number()


class JobPageSchema(Schema):
    """A page of jobs; ``next`` is the address of the next page, or null."""

    items = things(JobAnswerSchema)
    next = maybe("string")


class QuotePageSchema(Schema):
    """A page of quotes."""

    items = things(QuoteCardSchema)
    next = maybe("string")


class OrderListPageSchema(Schema):
    """A page of order lists."""

    items = things(OrderListAnswerSchema)
    next = maybe("string")


class EditionPageSchema(Schema):
    """Editions."""

    items = things(EditionSchema)
    next = maybe("string")


class ProblemSchema(Schema):
    """What went wrong (RFC 9457)."""

    type, title, detail, instance, request_id = text(), text(), text(), text(), text()
    status = whole()
    errors = fields.Raw(metadata={"type": "array", "items": {"type": "object"}})
    error_count = fields.Raw(metadata={"type": "integer"})
    checks = fields.Raw(metadata={"type": "array", "items": {"type": "object"}})
