"""The words of codes that pages show: roles, units, states. Marked for the catalogues, looked up where shown."""

from __future__ import annotations

from estimator.documents.language.texts import mark
from estimator.documents.papers import ORDER_FORMS, QUOTE_FORMS
from estimator.service.quoting.stored.lists import SOON

ROLE_WORDS = {
    "crm": mark("sales: posts jobs and reads quotes"),
    "estimator": mark("estimator"),
    "purchasing": mark("purchasing"),
    "pricing": mark("pricing"),
    "admin": mark("administrator"),
}
SAID_IN_SENTENCES = (
    mark("crm"), mark("admin"), mark("queued"), mark("running"), mark("succeeded"), mark("failed"), mark("cancelled")
)  # fmt: skip
"""Codes of roles and of long work as refusals hold them; the other codes are words of the tables here."""
ACCOUNT_WORDS = {
    "invited": mark("invited, not opened yet"),
    "open": mark("open"),
    "ended": mark("ended"),
}
UNIT_WORDS = {
    "metric": mark("metric"),
    "us": mark("feet and inches"),
    "metric_us": mark("metric, feet and inches beside"),
    "us_metric": mark("feet and inches, metric beside"),
}
STATE_WORDS = {
    "draft": mark("draft"),
    "issued": mark("issued"),
    "accepted": mark("accepted"),
    "declined": mark("declined"),
    "expired": mark("expired"),
    "superseded": mark("superseded"),
}
ACTION_WORDS = {
    "quote.drafted": mark("drafted"),
    "quote.revised": mark("drafted as a revision"),
    "quote.approved": mark("approved"),
    "quote.issued": mark("issued"),
    "quote.accepted": mark("accepted by the customer"),
    "quote.declined": mark("declined by the customer"),
    "quote.superseded": mark("superseded by a later revision"),
    "quote.check_overridden": mark("a failed check overridden"),
    "order_list.made": mark("ordered"),
}
"""What the log of a quote says; other actions are shown by their code."""
PROBLEMS: dict[str, tuple[str, str]] = {
    "invalid-job": (
        mark("The job contradicts itself or cannot be read"), mark("Correct every place listed. Nothing was stored.")
    ),
    "invalid-request": (
        mark("Some fields cannot be taken as they are"), mark("Correct every place listed. Nothing was stored.")
    ),
    "invalid-choice": (
        mark("The pricebook does not hold what was chosen"), mark("Choose among what is listed as allowed.")
    ),
    "invalid-pricebook": (
        mark("The pricebook's files have faults"),
        mark("Correct the files and upload the edition again. Nothing was stored."),
    ),
    "not-found": (mark("There is no such thing"), mark("It may belong to somebody else, or the address is wrong.")),
    "conflict": (mark("Its state does not allow this"), mark("Reload the page and decide by what it shows.")),
    "stale-version": (
        mark("Somebody changed it in between"),
        mark("Nothing of yours was stored, and nothing of theirs was lost: look at what changed, then decide."),
    ),
    "stale-workbook": (
        mark("The quote was revised since this workbook was downloaded"),
        mark("Take the newest workbook and make the changes there, or lay these over the newest revision (below)."),
    ),
    "no-loads": (
        mark("No loads follow from what the site gives"),
        mark("Correct every place listed, or give an engineer's pressures."),
    ),
    "no-mounting": (
        mark("No mounting fits roof, modules and choices"),
        mark("Change the choices, what the job says of the roof, or the pricebook; each reason is listed."),
    ),
    "invalid-rate": (
        mark("A rate is out of its range"), mark("Margin, discount and contingency are percentages of a price.")
    ),
    "invalid-override": (
        mark("A reason was given for a check that does not fail"),
        mark("Reload the page and give reasons at the checks it shows."),
    ),
    "nothing-to-write": (
        mark("The paper would be empty"), mark("There is nothing to show on this paper.")
    ),
    "not-json": (mark("The file is no JSON document"), mark("Choose the file of a job, as this service gives it.")),
    "option-unknown": (mark("The quote has several options"), mark("Say which one the customer accepted.")),
    "too-many-requests": (mark("Too much was asked at once"), mark("Wait a moment, then try again.")),
    "calculations-wait": (
        mark("Other calculations come first"), mark("Nothing was stored. Try again in a few seconds.")
    ),
    "too-much-work": (mark("This is more than one request may ask"), mark("Ask for less at a time.")),
    "already-used": (mark("This works only once"), mark("Look for what was made the first time.")),
    "checks-stand": (
        mark("Checks keep the quote from being issued"),
        mark("Correct the job, or override each failed check with a reason that the quote prints."),
    ),
    "needs-approval": (
        mark("Another person has to approve this first"),
        mark("Discount or margin is beyond what the role of the person who prepared it may offer alone."),
    ),
    "not-allowed": (mark("Your role does not include this"), mark("An administrator can change your role.")),
    "invalid-password": (
        mark("This password cannot be used"), mark("Choose a longer one; several words that you remember work well.")
    ),
    "sign-in-refused": (
        mark("No such name with such a password"), mark("Check both; an administrator can send a new invitation.")
    ),
    "sign-in-too-often": (mark("Too many attempts to sign in"), mark("Wait a while, then try again.")),
    "wrong-password": (
        mark("This is not the current password"), mark("Type the password that you signed in with.")
    ),
    "passwords-off": (
        mark("Nobody signs in with a password here"), mark("Sign in through the house's provider.")
    ),
    "not-invited": (
        mark("Nobody was invited under this name"),
        mark("The provider knows you, but no account here has your address. An administrator can invite you."),
    ),
    "provider-refused": (
        mark("Signing in through the provider did not succeed"), mark("Begin again at the sign-in page.")
    ),
    "provider-failed": (
        mark("The provider that people sign in through cannot be used"),
        mark("Try again later; if it happens again, tell the people who run the service."),
    ),
    "stale-form": (
        mark("The form was not sent from this page, or its session has ended"),
        mark("Go back, reload the page and send the form again."),
    ),
    "not-secure": (
        mark("Signing in needs an encrypted connection"),
        mark(
            "Over plain HTTP everybody on the way could read the password. Reach the service over https, or on its own "
            "machine as localhost. Whoever runs it behind a proxy with TLS sets ESTIMATOR_BEHIND_TLS to yes."
        ),
    ),
    "busy": (mark("The service is busy"), mark("Nothing was stored. Try again in a few seconds.")),
    "server-fault": (
        mark("Something went wrong inside the service"),
        mark("Try again; if it happens again, tell the people who run the service the number below."),
    ),
    "method-not-allowed": (
        mark("This address is for a form that is sent"), mark("Go back to the page that the form stands on.")
    ),
    "too-large": (mark("What was sent is too large"), mark("Send less at a time.")),
}  # fmt: skip
OTHERWISE = (
    mark("This cannot be done"),
    mark("Go back and try again; if it happens again, tell the people who run the service."),
)


def problem_words(name: str) -> tuple[str, str]:
    """What is wrong and what to do about it, for people, by the problem's name."""
    return PROBLEMS.get(name, OTHERWISE)


ATTENTION_WORDS = {
    "to_order": mark("accepted, to be ordered"),
    "ending": mark("expires within a week"),
    "failing": mark("checks keep it from being issued"),
    "declined": mark("declined recently"),
}
ORDER_WORDS = {
    "newest": mark("newest first"),
    "ending": mark("expiring first"),
    "largest": mark("largest total first"),
    "smallest": mark("smallest total first"),
}
URGENT_LINKS = {
    "to_order": "/orders",
    "ending": f"/quotes?state=issued&ending={SOON.days}&order=ending",
    "failing": "/quotes?state=draft&order=ending",
    "declined": "/quotes?state=declined",
}
SEVERITY_WORDS = {"error": mark("Failed"), "warning": mark("Warning"), "note": mark("Note")}
COUNT_WORDS = {
    "modules": mark("modules"),
    "attachments": mark("attachments"),
    "runs": mark("rail runs"),
    "mid_clamps": mark("mid clamps"),
    "end_clamps": mark("end clamps"),
    "splices": mark("splices"),
    "expansion_splices": mark("expansion splices"),
    "pieces": mark("pieces to cut"),
}
PAPER_WORDS = {form.file: form.title for form in QUOTE_FORMS.values()}
STANDING_WORDS = {
    "approved": mark("approved"),
    "waiting": mark("waits for a second person"),
    "withdrawn": mark("withdrawn"),
}
FORCE_WORDS = {
    "coming": mark("not yet in force"),
    "in_force": mark("in force"),
    "over": mark("no longer in force"),
}
CHANGE_WORDS = {"more": mark("more"), "less": mark("less"), "returned": mark("returned")}
"""What becomes of a line that was ordered before."""
ORDER_PAPER_WORDS = {form.file: form.title for form in ORDER_FORMS.values()}
COLUMN_WORDS = {
    "part": mark("Column of the part number"),
    "cost": mark("Column of the price"),
    "unit": mark("Column of the unit"),
    "currency": mark("Column of the currency"),
    "pack": mark("Column of the pack size"),
    "price_per": mark("Column of pieces per price"),
    "sheet": mark("Sheet of the workbook"),
    "from_quantity": mark("Column of the quantity from which on a row's price holds"),
    "header_row": mark("Row of the columns' names"),
}
DIFFERENCE_WORDS = {
    "": mark("the part"),
    "currency": mark("currency"),
    "price_places": mark("decimals of prices"),
    "pricing_method": mark("method of pricing"),
    "pricing_rate": mark("rate of pricing"),
    "labour_rate": mark("hourly rate"),
    "packaging_share": mark("share of packaging"),
    "tax.rate": mark("rate of tax"),
    "rules": mark("number of rules"),
    "role": mark("role of the part"),
    "material": mark("material"),
    "unit": mark("unit"),
    "pack_size": mark("pack size"),
    "supplier": mark("supplier"),
    "list_price": mark("list price"),
    "unit_mass_kg": mark("mass of a piece (kg)"),
    "lead_time_days": mark("lead time (days)"),
    "cost": mark("cost"),
    "margin": mark("margin"),
    "tiers": mark("tier of customers {name}"),
    "cost from": mark("cost from {name} pieces on"),
}


def column_of(difference: str) -> tuple[str, str]:
    """The words of what an edition changes, with a place for the name or count behind them.

    >>> column_of("cost from 100"), column_of("tiers.trade"), column_of("list_price")
    (('cost from {name} pieces on', '100'), ('tier of customers {name}', 'trade'), ('list price', ''))
    """
    for kind, sign in (("cost from", " "), ("tiers", ".")):
        if difference.startswith(kind + sign):
            return DIFFERENCE_WORDS[kind], difference.removeprefix(kind + sign)
    return DIFFERENCE_WORDS.get(difference, difference), ""


CAUSE_WORDS = {
    "change_not_taken": mark("a change that was not taken"),
    "changed_meanwhile": mark("changed by a revision meanwhile"),
    "other_cut_plan": mark("another cut plan"),
    "not_recalculated": mark("the sheet was saved without being recalculated"),
    "other_change_not_taken": mark("other changes that were not taken"),
}
REPORT_WORDS = {
    "changed": mark("Parts with another price or pack"),
    "unchanged": mark("Parts as they were"),
    "missing": mark("Parts of the supplier that the list lacks; they keep their price"),
    "unknown": mark("Numbers on the list that the book does not know"),
    "breaks_kept": mark("Changed parts whose price breaks stand as they were"),
    "breaks_changed": mark("Parts with other price breaks"),
}
FIELD_WORDS = {
    "ordered": mark("quantity"),
    "unit_price": mark("unit price"),
    "line_discount": mark("discount of the line"),
    "struck": mark("line struck"),
    "margin": mark("margin"),
    "discount": mark("discount"),
    "contingency": mark("contingency"),
    "freight": mark("freight"),
    "labour": mark("labour"),
    "reason": mark("reason"),
}
WORDS_OF_PAGES = {
    "role_words": ROLE_WORDS, "unit_words": UNIT_WORDS, "state_words": STATE_WORDS, "attention_words": ATTENTION_WORDS,
    "account_words": ACCOUNT_WORDS, "order_words": ORDER_WORDS, "action_words": ACTION_WORDS,
    "severity_words": SEVERITY_WORDS,
    "count_words": COUNT_WORDS, "paper_words": PAPER_WORDS, "urgent_links": URGENT_LINKS,
    "problem_words": problem_words, "field_words": FIELD_WORDS, "cause_words": CAUSE_WORDS,
    "standing_words": STANDING_WORDS, "force_words": FORCE_WORDS, "report_words": REPORT_WORDS,
    "order_paper_words": ORDER_PAPER_WORDS, "change_words": CHANGE_WORDS, "column_words": COLUMN_WORDS,
}  # fmt: skip
"""What every template may look up."""
