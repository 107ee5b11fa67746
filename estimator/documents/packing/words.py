"""What a packing list says besides its packages: facts of the shipment, what was assumed, cautions."""

from __future__ import annotations

from decimal import Decimal

from estimator.documents.header import Fact, OrderHeader
from estimator.documents.language.texts import Reader, mark
from estimator.documents.purchasing.facts import OrderParty, order_facts, order_parties
from estimator.orders import OrderList, PackageGroup, Packing

KINDS = {"carton": mark("carton"), "bundle": mark("bundle")}


def packing_parties(order: OrderList, reader: Reader) -> tuple[OrderParty, ...]:
    """Who sends it, who receives it: the supplier and the place of delivery, the buyer between them."""
    supplier, buyer, place = order_parties(order, reader)
    t = reader.texts.t
    return (
        OrderParty(t("From"), supplier.name, supplier.lines),
        OrderParty(t("Ordered by"), buyer.name, buyer.lines),
        place,
    )


def packing_facts(order: OrderList, packing: Packing, header: OrderHeader, reader: Reader) -> tuple[Fact, ...]:
    """References and sums; never a price."""
    t, formats = reader.texts.t, reader.formats
    facts = list(order_facts(order, header, reader, priced=False))
    unknown = t("not known")
    longest = formats.length(packing.longest_mm) if packing.longest_mm is not None else ""
    facts += [
        Fact(t("Packages"), formats.count(packing.packages)),
        Fact(t("Net mass"), formats.mass(packing.net_kg)),
        Fact(t("Gross mass"), formats.mass(packing.gross_kg) if packing.gross_kg is not None else unknown),
        Fact(t("Longest piece"), longest),
    ]
    return tuple(fact for fact in facts if fact.value)


def marks_of(group: PackageGroup, packing: Packing, reader: Reader) -> str:
    """The marks of a group: "3 of 17", or "1–12 of 17"."""
    count = reader.formats.count
    marks = count(group.first) if group.count == 1 else f"{count(group.first)}–{count(group.last)}"
    return reader.texts.t("{marks} of {packages}", marks=marks, packages=count(packing.packages))


def warnings_of(group: PackageGroup, reader: Reader) -> str:
    """What whoever lifts or loads it must know, in a few words."""
    t = reader.texts.t
    notes = [t("long item")] if group.long_item else []
    notes += [t("heavy: not for one person")] if group.heavy else []
    return ", ".join(notes)


def assumptions_of(packing: Packing, reader: Reader) -> tuple[str, ...]:
    """Every assumption behind the packages, in sentences."""
    t, formats, rules = reader.texts.t, reader.formats, packing.rules
    kinds = {group.kind for group in packing.groups}
    notes = [t("Packages are planned from the order, not weighed or measured: the supplier's own papers count.")]
    if "carton" in kinds:
        notes.append(
            t(
                "Each pack is taken as one carton; parts sold singly share cartons of {mass} at most.",
                mass=formats.mass(rules.most_carton_kg),
            )
        )
    if "bundle" in kinds:
        notes.append(
            t(
                "Bars are bundled by length, {mass} at most in a bundle; from {length} on a package is a long item.",
                mass=formats.mass(rules.most_bundle_kg),
                length=formats.length(rules.long_from_mm),
            )
        )
    notes.append(_gross_note(packing, reader))
    notes.append(t("Widths and heights are not known; the supplier fills them in."))
    return tuple(notes)


def _gross_note(packing: Packing, reader: Reader) -> str:
    t = reader.texts.t
    if packing.packaging_share is None:
        return t("Gross masses are not known.")
    share = reader.formats.percent(Decimal(repr(packing.packaging_share)))
    return t("Gross mass is net mass with {share} for packaging, by the pricebook.", share=share)


def cautions_of(packing: Packing, reader: Reader) -> tuple[str, ...]:
    """Cautions where long or heavy packages are among them."""
    t = reader.texts.t
    notes = []
    if any(group.long_item for group in packing.groups):
        notes.append(t("Long items bend and swing: support them along their length, keep people out of the way."))
    if any(group.heavy for group in packing.groups):
        notes.append(t("Heavy packages need lifting gear or enough people; check that the roof may carry them."))
    return tuple(notes)
