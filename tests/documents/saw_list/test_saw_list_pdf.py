"""The shop's saw list: every bar, piece and label of the plan stands on it, drawn to scale, and never a price."""

from dataclasses import replace

import pytest

from estimator.cutting.records import TENTHS_PER_MM, BarPattern, PiecePlace, Refusal, Saw
from estimator.documents.language.texts import reader_for
from estimator.documents.saw_list.pdf import write_saw_list
from estimator.documents.sawing.bars import stretches
from estimator.documents.sawing.grouped import grouped
from estimator.documents.sawing.pieces import sawn_pieces
from estimator.documents.sawing.tables import MOST_PLACES, cut_length
from estimator.places import Place
from estimator.pricing.rail_offers import saw_for
from tests.documents.offers import NAMES, a_header, an_offer, with_estimate
from tests.documents.pdf_reading import pages, pages_fast, text

RAILED = tuple(name for name in NAMES if name != "direct")
PLAIN = tuple(name for name in RAILED if name != "payloads")


def shown(tenths, name):
    job = an_offer(name).estimate.job
    return cut_length(tenths, reader_for("en", job.customer.address.country, job.display_units)).replace("\xa0", " ")


def rows_of(name, folder):
    return " ".join(pages_fast(write_saw_list(an_offer(name), a_header()), folder))


def sawn(plan):
    """The patterns that a saw touches, with their numbers."""
    return [(number, pattern) for number, pattern in enumerate(plan.bars, start=1) if pattern.cuts]


@pytest.mark.parametrize("name", PLAIN)
def test_every_piece_that_is_sawn_is_counted_by_its_cut_and_length_and_its_place_is_named(name):
    plan = an_offer(name).estimate.cut_plan
    found = text(write_saw_list(an_offer(name), a_header()))
    groups = grouped(tuple(sawn_pieces(plan)))
    assert sum(each.count for each in groups) == sum(len(p.pieces) * p.count for _, p in sawn(plan))
    for group in groups:
        length = shown(round(group.first.length_mm * TENTHS_PER_MM), name)
        places = "; ".join(str(place) for place in group.places[:MOST_PLACES])
        assert f" {group.first.cut} {length} {group.count} {places}" in found


def test_equal_pieces_of_bars_cut_alike_are_one_row_with_every_place():
    """Worked by hand: eight rails of 2500 mm, two from each of four bars; the first cuts are those of rail 1."""
    offer = an_offer("plain")
    base = offer.estimate.cut_plan
    runs = tuple(Place(roof="South", array="A", row=row, rail=rail) for row in (1, 2, 3, 4) for rail in (1, 2))
    labels = tuple(tuple(PiecePlace(run, 0, 0, 25_000) for run in (at, at + 1)) for at in range(0, 8, 2))
    bar = replace(base.bars[0], count=4, pieces=(25_000, 25_000), labels=labels, cuts=2)
    plan = replace(base, bars=(bar,), run_places=runs)
    found = text(write_saw_list(with_estimate(offer, cut_plan=plan), a_header()))
    assert (
        "1 2,500 mm 4 South / A / rows 1 to 4 / rail 1 · 1 2 2,500 mm 4 South / A / rows 1 to 4 / rail 2 · 1" in found
    )


@pytest.mark.parametrize("name", PLAIN)
def test_every_pattern_says_how_many_bars_what_is_left_and_whether_it_is_kept(name, tmp_path):
    plan = an_offer(name).estimate.cut_plan
    found = rows_of(name, tmp_path)
    for number, pattern in sawn(plan):
        bars = "bar" if pattern.count == 1 else "bars"
        head = f"Pattern {number}: {pattern.count} {bars} of {shown(pattern.stock_length, name)}"
        fate = "keep" if pattern.reusable else "scrap"
        left = f"Left over: {shown(pattern.offcut, name)}, {fate}" if pattern.offcut else "Nothing is left over"
        assert left in found.partition(head)[2]


def test_only_what_is_sawn_is_listed_piece_by_piece(tmp_path):
    offer = an_offer("long")
    plan = offer.estimate.cut_plan
    first, *others = plan.bars
    whole = replace(first, pieces=(first.stock_length,), cuts=0, offcut=0)
    found = "".join(pages_fast(write_saw_list(with_estimate(offer, cut_plan=replace(plan, bars=(whole, *others))),
                                              a_header()), tmp_path))  # fmt: skip
    assert "Not cut: these bars stay whole." in found
    assert f"{whole.part} {shown(whole.stock_length, 'long')} {whole.count}" in " ".join(found.split())
    assert "Pattern 1:" not in found
    assert "Pattern 2:" in found


@pytest.mark.parametrize("name", PLAIN)
def test_the_totals_are_those_of_the_plan(name, tmp_path):
    plan = an_offer(name).estimate.cut_plan
    found = rows_of(name, tmp_path)
    for each in plan.bars_by_length:
        assert f"{each.part} {shown(each.length, name)} {each.count}" in found
    to_cut = sum(len(pattern.pieces) * pattern.count for _, pattern in sawn(plan))
    for wanted in (f"Pieces to cut {to_cut}", f"Saw cuts {plan.cuts}", f" Splices {plan.splices}",
                   f"Expansion splices {plan.expansion_splices}"):  # fmt: skip
        assert wanted in found


def test_waste_and_what_was_saved_stand_in_length_and_mass(tmp_path):
    estimate = an_offer("long").estimate
    plan, rail, found = estimate.cut_plan, estimate.mounting.rail, rows_of("long", tmp_path)
    formats = reader_for("en", "", "metric").formats
    for tenths in (plan.waste_length, abs(plan.against_rounded_up.length - plan.bought_length)):
        mm = tenths / TENTHS_PER_MM
        wanted = f"{formats.long_length(mm)} {formats.mass(mm / 1000 * rail.mass_kg_per_m)}"
        assert wanted.replace("\xa0", " ") in found


@pytest.mark.parametrize("name", RAILED)
def test_the_stretches_of_a_drawing_fill_the_bar_without_gap_or_overlap(name):
    estimate = an_offer(name).estimate
    saw = saw_for(estimate.mounting.rail, estimate.book)
    for pattern in estimate.cut_plan.bars:
        at = 0
        parts = stretches(pattern, saw)
        for part in parts:
            assert part.start == at
            at += part.length
        assert at == pattern.stock_length
        assert tuple(part.length for part in parts if part.kind == "piece") == pattern.pieces
        assert sum(part.length for part in parts if part.kind in {"keep", "scrap"}) == pattern.offcut


def test_an_off_cut_from_the_yard_is_no_bar_that_the_plan_buys():
    """Worked by hand: a bar of 6 m and an off-cut of 2.1 m, where full bars take three: two bars, 12 m, are saved."""
    offer = an_offer("plain")
    base = offer.estimate.cut_plan
    runs = tuple(Place(roof="South", array="A", row=row, rail=1) for row in (1, 2, 3))
    labels = ((PiecePlace(0, 0, 0, 25_000), PiecePlace(1, 0, 0, 25_000)),)
    bar = replace(base.bars[0], count=1, stock_length=60_000, pieces=(25_000, 25_000), labels=labels, cuts=2)
    short = BarPattern("X-21", 21_000, 1, (20_000,), ((PiecePlace(2, 0, 0, 20_000),),), 970, False, 0, 1, True)
    full = replace(base.against_full_bars, possible=True, bars=3, length=180_000, splices=0)
    plan = replace(base, bars=(bar, short), run_places=runs, against_full_bars=full, splices=0)
    assert (plan.bars_to_buy, plan.length_to_buy) == (1, 60_000)
    found = " ".join(text(write_saw_list(with_estimate(offer, cut_plan=plan), a_header())).replace("\xa0", " ").split())
    assert "This plan 1 6.00 m 0 " in found
    assert "Full bars and a rest, run by run 3 18.00 m 0 2 12.00 m" in found


@pytest.mark.parametrize(
    ("from_yard", "kinds"),
    [
        (False, ["trim", "piece", "kerf", "piece", "kerf", "scrap", "trim"]),
        (True, ["piece", "kerf", "piece", "kerf", "scrap"]),
    ],
)
def test_a_bar_from_the_yard_is_not_trimmed(from_yard, kinds):
    # Worked by hand: 6000 less 2 x 5 trim (none from the yard), 2 x 2900 and 2 x 3 kerf leaves 184 (194) mm.
    left = 1940 if from_yard else 1840
    bar = BarPattern("R6", 60_000, 1, (29_000, 29_000), ((),), left, False, 0, 3, from_yard)
    parts = stretches(bar, Saw(kerf=30, end_trim=50))
    assert [part.kind for part in parts] == kinds
    assert [part.length for part in parts if part.kind == "scrap"] == [left]


def test_a_job_without_rails_has_a_page_that_says_so():
    (page,) = pages(write_saw_list(an_offer("direct"), a_header()))
    assert "This job has no rails" in page
    assert "Page 1 of 1" in page


def test_a_long_list_repeats_its_head_and_numbers_its_pages():
    found = pages(write_saw_list(an_offer("long"), a_header()))
    assert len(found) > 1
    for number, page in enumerate(found, start=1):
        assert f"Page {number} of {len(found)}" in page


@pytest.mark.parametrize("name", RAILED)
def test_the_saw_list_names_no_price_and_no_currency(name):
    offer = an_offer(name)
    found = text(write_saw_list(offer, a_header()))
    for sign in ("€", "EUR", "$", "USD", f"{offer.estimate.bill.totals.total.amount:,.2f}"):
        assert sign not in found


def test_hostile_texts_stand_as_they_are_and_long_labels_wrap():
    offer = an_offer("payloads")
    plan = offer.estimate.cut_plan
    places = (Place(roof="<b>bold</b> & {0} " + "wide roof name " * 400), *plan.run_places[1:])
    found = text(write_saw_list(with_estimate(offer, cut_plan=replace(plan, run_places=places)), a_header()))
    assert "<b>bold</b> & {0}" in found
    assert found.count("wide") >= 400  # words of a name are parted where a page ends
    assert "cannot be printed" in text(write_saw_list(offer, a_header()))


def test_a_run_that_no_bar_can_make_is_named_at_the_head():
    offer = an_offer("plain")
    refused = (Refusal(0, Place(roof="South", array="A", row=9, rail=1), 91_234, "too long", (), None),)
    plan = replace(offer.estimate.cut_plan, refused=refused)
    found = text(write_saw_list(with_estimate(offer, cut_plan=plan), a_header()))
    assert "South / A / row 9 / rail 1, 9,123.4 mm: no bar" in found


def test_a_draft_and_invented_prices_are_marked_on_every_page():
    offer = an_offer("long")
    invented = with_estimate(offer, book=replace(offer.estimate.book, invented=True))
    found = pages(write_saw_list(invented, a_header(state="draft")))
    assert all("do not cut" in page and "invented" in page.lower() for page in found)
    assert "do not cut" not in text(write_saw_list(offer, a_header(state="accepted")))


def test_cautions_and_care_at_the_saw_stand_on_the_list():
    offer = an_offer("plain")
    found = text(write_saw_list(offer, a_header()))
    for wanted in ("eye, ear and hand protection", *offer.estimate.cautions):
        assert wanted in found


@pytest.mark.parametrize(("language", "word"), [("de", "Sägeliste"), ("es", "Lista de corte"), ("fr", "sciage")])
def test_the_list_speaks_the_readers_language(language, word):
    assert word in text(write_saw_list(an_offer("long"), a_header(language=language)))


def test_the_same_offer_gives_the_same_list():
    assert write_saw_list(an_offer("long"), a_header()) == write_saw_list(an_offer("long"), a_header())
