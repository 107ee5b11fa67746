"""Lines, freight, labour and totals. Money is a decimal text; the currency stands in the totals."""

from __future__ import annotations

from estimator.contract.answers.fields import (
    DecimalText,
    DisplayTexts,
    Each,
    Mass,
    MoneyText,
    OneWord,
    Whole,
    Words,
    texts,
)
from estimator.contract.answers.writing import Answer
from estimator.estimate import Estimate
from estimator.freight.records import FreightCharge
from estimator.labour.records import Labour, LabourLine
from estimator.pricebook.tax import CATEGORIES
from estimator.pricing.records import PricedLine
from estimator.pricing.taxation import TaxGroup, tax_groups
from estimator.takeoff.records import RuleShare

CURRENCY = "^[A-Z]{3}$"
FRACTION = {"type": "string", "pattern": r"^-?\d+(/\d+)?$"}


class PlaceShareSchema(Answer):
    """What one roof or array has in what a rule asks."""

    place = Words("Roof and array.", lambda it, _to: it[0], example="South / A")
    count = Words("How many, as a whole number or a fraction.", lambda it, _to: str(it[1]), example="120")


class RuleShareSchema(Answer):
    """What one assembly rule asks of one part: ``count`` for each ``per`` of a basis."""

    record = RuleShare
    rule = Words("The rule's name in the pricebook.", example="screws-per-bracket")
    count = Words("How many it asks, as a whole number or a fraction.", lambda it, _to: str(it.count), example="4")
    for_each = Words("The count it refers to.", example="attachments")
    per = Whole("For how many of that count it asks.", least=1, example=1)
    basis = Words("How many of that count there are.", lambda it, _to: str(it.basis), example="120")
    asked = Words("What it asks in all.", lambda it, _to: str(it.asked), example="480")
    note = Words("The rule's note in the pricebook.", example="")
    places = Each("Where it is used.", PlaceShareSchema)


class LineSchema(Answer):
    """One line of the bill with its derivation; cost, supplier and price rule only for roles that see costs."""

    record = PricedLine
    part = Words("The part's number in the pricebook.", "line.part", example="XB-40")
    role = Words("What the part is for.", "line.role", example="bracket")
    group = Words("The group the line is listed under.", example="Attachments")
    description = Words("The part as the pricebook describes it.", "line.description", example="Bracket, aluminium")
    unit = Words("The unit of its quantities by UNECE Recommendation 20.", "line.unit", example="C62")
    net = Whole("How many the counts and rules ask.", "line.net", example=480)
    spare = Whole("How many are added for loss; none on a line that the estimator added.", "line.spare", example=10)
    required = Whole("Net and spare together.", "line.required", example=490)
    pack_size = Whole("How many are sold together.", "line.pack_size", least=1, example=100)
    packs = Whole("How many packs are bought.", "line.packs", example=5)
    ordered = Whole("How many are bought.", "line.ordered", example=500)
    unit_mass = Mass("Mass of one.", "line.unit_mass_kg", places=6, example=0.021)
    mass = Mass("Mass of all that are bought.", "line.mass_kg", example=10.5)
    why = texts("How the quantity came about, in sentences.", "line.why", example=["480 screws: 120 attachments x 4"])
    shares = Each("What each assembly rule asks of the part, and where.", RuleShareSchema, "line.shares")
    unit_price = DecimalText("Price of one, at the pricebook's places.", example="0.185")
    discount = DecimalText("The line's discount as a share of its price.", example="0.05")
    price = MoneyText("Price of the line, rounded once.", example="87.88")
    display = DisplayTexts("line", unit_mass=("unit_mass_kg", "mass"), mass=("mass_kg", "mass"))
    supplier = Words("Who supplies the part.", "line.supplier", costs=True, example="S1")
    unit_cost = DecimalText("Cost of one at the price break of the ordered quantity.", costs=True, example="0.11")
    cost = MoneyText("Cost of the line, rounded once.", costs=True, example="55.00")
    break_from = Whole("From how many on that cost holds.", costs=True, example=250)
    price_rule = Words("The row and rule of the pricebook that the unit price came from.", costs=True, example="markup")


class FreightAnswerSchema(Answer):
    """The shipped mass and its charge."""

    record = FreightCharge
    zone = Words("The freight zone; empty where freight is not charged.", example="2")
    parts_mass = Mass("Mass of the parts.", "parts_mass_kg", example=412.5)
    packaging_mass = Mass("Mass of what they are packed in.", "packaging_mass_kg", example=20.6)
    mass = Mass("Mass that is shipped, to the gram, before the charge is calculated.", "mass_kg", example=433.1)
    base = DecimalText("Base charge of the zone and mass.", example="60.00")
    per_kg = DecimalText("Charge for each kilogram.", example="0.35")
    minimum = DecimalText("Least charge of the zone.", example="90.00")
    charge = MoneyText("What freight costs the customer.", example="211.59")
    why = texts("How the charge came about, in sentences.", example=["433.1 kg x 0.35 + 60.00"])
    display = DisplayTexts(mass=("mass_kg", "mass"))


class LabourLineSchema(Answer):
    """One activity on the roof."""

    record = LabourLine
    activity = Words("The activity's name in the pricebook.", example="set-brackets")
    description = Words("The activity in words.", example="Set brackets")
    basis = Words("The count it is calculated on.", example="attachments")
    basis_count = DecimalText("How many of that count there are.", example="120")
    minutes_each = DecimalText("Minutes for each.", example="4.5")
    hours = DecimalText("Hours in all.", example="9.0")
    rate = DecimalText("Price of an hour.", example="58.00")
    price = MoneyText("Price of the activity.", example="522.00")
    why = Words("How the hours came about.", example="120 attachments x 4.5 min")
    cost = MoneyText("What the house pays for it.", costs=True, example="396.00")


class LabourAnswerSchema(Answer):
    """Hours by activity and their price."""

    record = Labour
    hours = DecimalText("Hours in all.", example="41.5")
    price = MoneyText("Price of all activities.", example="2407.00")
    lines = Each("The activities; empty where labour is not quoted.", LabourLineSchema)
    cost = MoneyText("What the house pays for labour.", costs=True, example="1826.00")


class TaxGroupSchema(Answer):
    """The amounts of one tax category."""

    record = TaxGroup
    category = OneWord("The category by UN/CEFACT code list 5305, as EN 16931 takes them.", CATEGORIES)
    rate = DecimalText("The tax, as a share of the base.", example="0.19")
    base = MoneyText("What the tax is calculated on.", example="10539.63")
    tax = MoneyText("The tax.", example="2002.53")
    note = Words("Why no tax is charged; empty where it is.", example="")


class TotalsSchema(Answer):
    """The totals in the order they are reached; cost and margin only for roles that see costs."""

    record = Estimate
    parts = MoneyText("Sum of the lines.", "bill.totals.parts", example="8120.40")
    discount_rate = DecimalText("Discount on the parts, as a share.", "bill.totals.discount_rate", example="0.05")
    discount = MoneyText("Discount on the parts.", "bill.totals.discount", example="406.02")
    freight = MoneyText("Freight.", "bill.totals.freight", example="211.59")
    labour = MoneyText("Labour.", "bill.totals.labour", example="2407.00")
    contingency_rate = DecimalText("Contingency, as a share.", "bill.totals.contingency_rate", example="0.02")
    contingency = MoneyText(
        "Contingency on parts less discount, freight and labour.", "bill.totals.contingency", example="206.66"
    )
    before_tax = MoneyText("The total before tax.", "bill.totals.before_tax", example="10539.63")
    tax_name = Words("What the tax is called.", "bill.totals.tax_name", example="VAT")
    tax_rate = DecimalText("The tax, as a share of its base.", "bill.totals.tax_rate", example="0.19")
    tax_per = Words("Whether tax is rounded per line or once for the total.", "bill.totals.tax_per", example="total")
    tax = MoneyText("Tax.", "bill.totals.tax", example="2002.53")
    taxes = Each(
        "The amounts before tax by tax category; their bases sum up to the total before tax.",
        TaxGroupSchema,
        lambda it, _to: tax_groups(it.bill, it.book),
    )
    total = MoneyText("What the customer pays.", "bill.totals.total", example="12542.16")
    currency = Words(
        "The currency of every amount, by ISO 4217.", "bill.totals.total.currency", pattern=CURRENCY, example="EUR"
    )
    cost = MoneyText("What the house pays.", "bill.totals.cost", costs=True, example="7904.11")
    margin = MoneyText(
        "The total before tax less the cost, contingency included although it is not earned yet; below zero the house "
        "loses.",
        "bill.totals.margin",
        costs=True,
        example="2635.52",
    )
    margin_rate = DecimalText(
        "The margin as a share of the total before tax.", "bill.totals.margin_rate", costs=True, example="0.25"
    )
    pricing_method = Words("How prices come from costs.", "bill.pricing_method", costs=True, example="margin")
    pricing_rate = DecimalText("The rate of that method.", "bill.pricing_rate", costs=True, example="0.3")
