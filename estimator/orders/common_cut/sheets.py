"""What the saw must know of a group of quotes that are cut together."""

from __future__ import annotations

from estimator.orders.common_cut.groups import CutGroup
from estimator.orders.merged_books import MergedBooks
from estimator.orders.records import CutSheet
from estimator.units import units_for_all


def cut_sheet(group: CutGroup, books: MergedBooks) -> CutSheet:
    """The house, the rail, the saw, and the quotes' jobs; both systems of units where the jobs differ."""
    estimates = [member.quote.estimate for member in group.members]
    units = {estimate.job.display_units for estimate in estimates}
    rail = next(member.rail for member in group.members if member.rail.rail == group.rail)
    return CutSheet(
        house=books.newest.seller,
        profile=rail.name,
        mass_kg_per_m=rail.mass_kg_per_m,
        saw=group.saw,
        jobs=tuple(estimate.job.reference or estimate.job.title for estimate in estimates),
        units=units_for_all(units, books.newest.seller.country),
        invented=any(estimate.book.invented for estimate in estimates),
        texts=books.newest.texts,
    )
