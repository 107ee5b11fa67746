"""The reactions on paper: every zone, the total, and what is not checked, for the building's engineer."""

from dataclasses import replace
from decimal import Decimal

import pytest

from estimator.attachment.reactions import find_reactions
from estimator.documents.language.texts import reader_for
from estimator.documents.reactions.pdf import write_reactions
from estimator.documents.workbook.write import drafted
from estimator.job import Purlins
from tests.documents.offers import a_header, an_offer
from tests.documents.pdf_reading import SPACES, text

EN = reader_for("en", "GB", "metric")


def with_purlins(offer):
    job = offer.estimate.job
    roofs = tuple(replace(roof, purlins=Purlins(1500.0)) for roof in job.roofs)
    return replace(offer, estimate=replace(offer.estimate, job=replace(job, roofs=roofs)))


def reactions(offer):
    return find_reactions(offer.estimate.job, offer.estimate.loads, offer.estimate.setting_out)


def test_every_zone_stands_there_with_its_largest_forces_and_what_is_not_checked():
    offer = an_offer("loaded")
    printed = text(write_reactions(offer, a_header())).translate(SPACES)
    squeezed = printed.replace(" ", "").replace("\n", "")
    found = reactions(offer)
    assert found.roofs
    for roof in found.roofs:
        for sums in (*(zone.sums for zone in roof.zones), roof.total):
            for force in (sums.uplift_n, sums.downward_n, sums.along_n):
                told = EN.formats.quantity(force, "force", 0)
                assert told.translate(SPACES).replace(" ", "").replace("\u00a0", "") in squeezed
    for each in found.not_checked:
        assert str(each.what).replace(" ", "") in squeezed
    assert "earthquake (seismic) loads".replace(" ", "") in squeezed
    assert "no purlin spacing".replace(" ", "") in squeezed


def test_purlin_lines_are_told_where_their_spacing_is_given():
    offer = with_purlins(an_offer("loaded"))
    printed = text(write_reactions(offer, a_header()))
    (roof,) = reactions(offer).roofs
    assert len(roof.purlins) > 1 and "no purlin spacing" not in printed
    assert sum(line.uplift_n for line in roof.purlins) == pytest.approx(roof.total.all_uplift_n)


def test_without_loads_the_page_says_so_and_nothing_else():
    printed = text(write_reactions(an_offer("plain"), a_header()))
    assert "No loads were computed" in printed


def test_the_workbook_has_a_sheet_of_reactions():
    offer = with_purlins(an_offer("loaded"))
    sheet = drafted(offer, a_header(), "estimator").workbook["Reactions"]
    (roof,) = reactions(offer).roofs
    written = {cell.value for row in sheet.iter_rows() for cell in row}
    assert {"In all", "Not checked", "By purlin line"} <= written
    figures = [float(value) for value in written if isinstance(value, (int, float, Decimal))]
    assert round(roof.total.uplift_n, 1) in figures
