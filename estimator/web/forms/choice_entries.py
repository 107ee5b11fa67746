"""The fields in which a quote is adjusted."""

from __future__ import annotations

from estimator.documents.language.texts import mark
from estimator.documents.language.words import ARRANGEMENTS
from estimator.web.forms.entries import FormEntry
from estimator.web.forms.rows import RowsEntry

MOST_LINES, NEW_LINES = 400, 3
BOOK = ("", mark("as the pricebook says"))
JOB = ("", mark("as the job says, else the tool chooses"))
QUOTED = ("", mark("as quoted"))
MATERIALS = (("aluminium", mark("aluminium")), ("steel", mark("steel")))
CHARGED = (BOOK, ("yes", mark("charged")), ("no", mark("left out")))
RATES = (
    FormEntry("margin", mark("Margin"), "percent", units=("%", "%")),
    FormEntry("discount", mark("Discount on the parts"), "percent", units=("%", "%")),
    FormEntry("contingency", mark("Contingency"), "percent", units=("%", "%")),
    FormEntry("validity_days", mark("Valid for (days)"), "whole"),
)
WAYS = (
    FormEntry("freight", mark("Freight"), "yes_no", choices=CHARGED),
    FormEntry("labour", mark("Labour"), "yes_no", choices=CHARGED),
    FormEntry("arrangement", mark("Arrangement"), "choice", choices=(JOB, *ARRANGEMENTS.items())),
    FormEntry("material", mark("Material"), "choice", choices=(JOB, *MATERIALS)),
    FormEntry("notes", mark("Notes that the quote prints"), "long", wide=True),
)
PRICED = (
    FormEntry("pricebook", mark("Pricebook (empty: the one for the site's country)")),
    FormEntry("edition", mark("Its edition (empty: the one in force)")),
    FormEntry("priced_on", mark("Prices of the day (empty: today)"), "date"),
    FormEntry("prepared_by", mark("Prepared by (empty: the person who makes the revision)")),
    FormEntry("proof/seconds", mark("Search on for a cheaper cut plan, at most"), "whole", units=("s", "s")),
)
GROUPS: dict[str, tuple[FormEntry, ...]] = {
    mark("Price"): RATES,
    mark("What is quoted"): WAYS,
    mark("How it is priced"): PRICED,
}
FIELDS = (*RATES, *WAYS, *PRICED)
OPTIONS = RowsEntry("options", mark("Further options, priced beside the quoted one"), (
    FormEntry("title", mark("What the quote calls it")),
    FormEntry("arrangement", mark("Arrangement"), "choice", choices=(QUOTED, *ARRANGEMENTS.items())),
    FormEntry("material", mark("Material"), "choice", choices=(QUOTED, *MATERIALS)),
    FormEntry("bracket", mark("Bracket (part number)")),
    FormEntry("rail", mark("Rail (name)")),
), spare=2, most=2,
    hint=mark("What is quoted is option A; these become B and C, and the customer accepts one of them."))  # fmt: skip
ALTERNATES = RowsEntry("alternates", mark("Alternates: what the customer may add"), (
    FormEntry("part", mark("Part number")),
    FormEntry("quantity", mark("Quantity"), "whole"),
    FormEntry("included", mark("In the total"), "yes_no",
          choices=(("", mark("not given")), ("yes", mark("in the total")), ("no", mark("beside it")))),
    FormEntry("note", mark("What it is for, as the quote prints it")),
), spare=2, most=50)  # fmt: skip
OFFCUTS = RowsEntry("offcuts", mark("Off-cuts on hand, that may be cut here"), (
    FormEntry("rail", mark("Rail (name)")),
    FormEntry("length", mark("Length"), "quantity", "length", ("mm", "in")),
    FormEntry("price", mark("What one counts for"), "amount"),
    FormEntry("count", mark("How many"), "whole"),
), spare=3, most=200)  # fmt: skip
ROWS = (OPTIONS, ALTERNATES, OFFCUTS)
ORDERED = FormEntry("ordered", mark("Quantity"), "whole")
UNIT_PRICE = FormEntry("unit_price", mark("Unit price"), "amount")
DISCOUNT = FormEntry("discount", mark("Discount"), "percent")
REASON = FormEntry("reason", mark("Reason"))
PART = FormEntry("part", mark("Part number"))
