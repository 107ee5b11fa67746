"""Placement on ribs, case by case; the arithmetic stands beside each case."""

import pytest

from estimator.attachment import LimitSteps, NoPlacement, place_evenly, place_on_ribs
from estimator.attachment.geometry.spacing.one_run import LimitFailure

RIBS = [100.0 + 300.0 * number for number in range(11)]  # 100, 400 ... 3100 under a run of 3140


def places(*args, **kwargs):
    return [RIBS[number] for number in place_on_ribs(RIBS, 3140.0, *args, **kwargs)]


def test_the_fewest_ribs_are_used_and_the_longest_span_kept_short():
    # the first attachment must stand at 100, the last at 2800 or 3100; three spans of up to 1200 reach either;
    # 900 + 900 + 900 to 2800 is shorter than 1200 + 900 + 900 to 3100
    assert places(1250.0, 350.0) == [100.0, 1000.0, 1900.0, 2800.0]


def test_of_equal_spans_the_evener_cantilevers_win():
    # spans up to 900, cantilevers up to 450: four attachments from 100 or from 400, to 2800 or 3100, all with a
    # longest span of 900; the cantilevers differ by 340 - 100, by 400 - 40, and least from 400 to 2800: by 400 - 340
    assert places(950.0, 450.0) == [400.0, 1000.0, 1900.0, 2800.0]


def test_of_equal_choices_the_leftmost_is_taken():
    # ten pitches in three spans of up to four: 2 + 4 + 4 stands further left than 3 + 3 + 4 or 4 + 3 + 3
    ribs = [20.0 + 300.0 * number for number in range(11)]
    assert place_on_ribs(ribs, 3040.0, 1250.0, 100.0) == (0, 2, 6, 10)


def test_a_short_run_still_has_two_attachments():
    # one rib would do for the cantilevers; of the pairs 300 apart the left one
    assert place_on_ribs([100.0, 400.0, 700.0], 800.0, 1250.0, 800.0) == (0, 1)


def test_a_span_keeps_the_least_limit_of_the_stretch_it_covers():
    # up to 1000 from the start only 400 is allowed, so one pitch at a time until 1000; from there 1200
    steps = LimitSteps((1000.0,), (400.0, 1250.0))
    assert places(steps, 350.0) == [100.0, 400.0, 700.0, 1000.0, 1900.0, 2800.0]


def test_a_limit_that_ends_at_an_attachment_does_not_hold_beyond_it():
    assert LimitSteps((1000.0,), (400.0, 1250.0)).least(1000.0, 1900.0) == 1250.0
    assert LimitSteps((1000.0,), (400.0, 1250.0)).least(700.0, 1000.0) == 400.0
    assert LimitSteps((1000.0,), (400.0, 1250.0)).least(700.0, 1300.0) == 400.0


def test_ribs_to_be_avoided_are_avoided_where_that_costs_no_further_attachment():
    straight = place_on_ribs(RIBS, 3140.0, 1550.0, 700.0)
    other = place_on_ribs(RIBS, 3140.0, 1550.0, 700.0, avoid=frozenset(straight))
    assert len(other) == len(straight) == 3 and not set(other) & set(straight)


def test_a_rib_that_has_to_be_used_is_used_though_it_is_to_be_avoided():
    assert place_on_ribs([0.0, 1000.0], 1000.0, 1000.0, 0.0, avoid=frozenset({0, 1})) == (0, 1)


@pytest.mark.parametrize(
    ("ribs", "spans", "cantilevers", "failures"),
    [
        ([], 1000.0, 300.0, (LimitFailure("ribs", 0.0, 2.0, 0.0),)),
        ([500.0], 1000.0, 600.0, (LimitFailure("ribs", 1.0, 2.0, 500.0),)),
        ([350.0, 750.0], 1000.0, 300.0, (LimitFailure("first_cantilever", 350.0, 300.0, 0.0),)),
        ([200.0, 600.0], 1000.0, 300.0, (LimitFailure("last_cantilever", 400.0, 300.0, 1000.0),)),
        ([200.0, 800.0], 500.0, 300.0, (LimitFailure("span", 600.0, 500.0, 200.0),)),
    ],
)
def test_what_fails_is_told_with_found_and_allowed(ribs, spans, cantilevers, failures):
    assert place_on_ribs(ribs, 1000.0, spans, cantilevers) == NoPlacement(failures)


def test_every_limit_that_fails_is_told_in_order_along_the_run():
    failures = place_on_ribs([600.0, 2000.0], 2500.0, 1250.0, 350.0).failures
    assert [(each.limit, each.found_mm, each.at_mm) for each in failures] == [
        ("first_cantilever", 600.0, 0.0),
        ("span", 1400.0, 600.0),
        ("last_cantilever", 500.0, 2500.0),
    ]


def test_a_gap_that_no_choice_has_to_cross_is_no_failure():
    # the wide gap at the end lies within the cantilever
    assert place_on_ribs([0.0, 400.0, 1000.0], 1000.0, 500.0, 600.0) == (0, 1)


def test_even_attachments_share_the_rail_where_the_limits_allow():
    # n = ceil((2400 - 2 x 600) / 1000) + 1 = 3; 2400 / 6 = 400 of cantilever, spans of 800: 800 of rail for each
    assert place_evenly(2400.0, 1000.0, 600.0) == (400.0, 1200.0, 2000.0)


def test_cantilevers_are_longer_than_an_even_share_where_the_span_asks_for_it():
    # n = ceil((2500 - 1200) / 700) + 1 = 3; spans of 700 leave (2500 - 1400) / 2 = 550 of cantilever, not 2500 / 6
    assert place_evenly(2500.0, 700.0, 600.0) == (550.0, 1250.0, 1950.0)


def test_two_attachments_at_least_along_a_rib():
    assert place_evenly(400.0, 1000.0, 600.0) == (100.0, 300.0)


def test_a_run_that_fits_its_limits_to_the_millimetre_takes_no_attachment_more():
    assert len(place_evenly(0.1 + 0.2 + 3000.0, 1000.1, 0.0)) == 4
