"""The same job another way, side by side."""

from __future__ import annotations

from estimator.comparison.records import Comparison, Side
from estimator.contract.answers.fields import DisplayTexts, Each, Mass, MoneyText, Number, One, Whole, Words, texts
from estimator.contract.answers.offer.bill import CURRENCY
from estimator.contract.answers.writing import Answer


class SideSchema(Answer):
    """One way to build the job, in short."""

    record = Side
    subject = Words("What differs.", example="material")
    option = Words("Which option it is.", example="aluminium")
    bracket = Words("The bracket's part.", example="XB-40")
    rail = Words("The rail; null where there is none.", lambda it, _to: it.rail or None, null=True, example="XR-38")
    attachments = Whole("Attachments.", example=120)
    mass = Mass("Mass of the parts.", "mass_kg", example=412.5)
    shipped_mass = Mass("Mass that is shipped.", "shipped_mass_kg", example=433.1)
    parts = MoneyText("Price of the parts.", example="8120.40")
    freight = MoneyText("Freight.", example="211.59")
    labour = MoneyText("Labour.", example="2407.00")
    total = MoneyText("What the customer would pay.", example="12542.16")
    currency = Words("The currency, by ISO 4217.", "total.currency", pattern=CURRENCY, example="EUR")
    errors = texts("The failed checks.", example=[])
    display = DisplayTexts(mass=("mass_kg", "mass"), shipped_mass=("shipped_mass_kg", "mass"))


class SavingSchema(Answer):
    """What aluminium saves over steel; positive where aluminium is lighter or cheaper."""

    record = Comparison
    mass = Mass("Mass of the parts.", "saving_mass_kg", least=None, example=310.2)
    mass_share = Number("The same as a share of the steel's.", "1", "saving_mass_share", least=None, example=0.43)
    freight = MoneyText("Freight.", "saving_freight", example="108.57")
    total = MoneyText("What the customer pays.", "saving_total", example="437.94")
    display = DisplayTexts(mass=("saving_mass_kg", "mass"))


class ComparisonAnswerSchema(Answer):
    """The materials side by side, the saving of aluminium over steel, other ways, and why a way cannot be built."""

    record = Comparison
    aluminium = One("The job in aluminium; null where it cannot be built so.", SideSchema, null=True)
    steel = One("The job in steel; null where it cannot be built so.", SideSchema, null=True)
    saving = One("What aluminium saves over steel; null where one of them cannot be built.", SavingSchema,
                 lambda it, _to: it if it.saving_mass_kg is not None else None, null=True)  # fmt: skip
    basis = Words(
        "What both sides leave out of the quote, so that like is compared with like; empty where nothing is left out.",
        example="compared without the changes of lines, discounts of lines and off-cuts of this quote",
    )
    why_not = texts("Why a material cannot be built with.", example=[])
    others = Each("Other options that were asked for: arrangements, brackets, rails.", SideSchema)
