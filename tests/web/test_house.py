"""What roles may offer on their own, and who has an account, on pages of their own."""

import re
from decimal import Decimal

import pytest

from estimator.service.access.policy import get_policy
from estimator.service.people.accounts import list_people
from tests.web.desks import Desk


@pytest.fixture(scope="module")
def desk(tmp_path_factory):
    return Desk(tmp_path_factory.mktemp("house"))


def policy_of(desk, login):
    person = next(each for each, _ in list_people(desk.context) if each.login == login)
    return get_policy(desk.context, person.client)


def form_of(visitor):
    return {"version": re.search(r'name="version" value="(\d+)"', visitor.get("/policy").text)[1]}


def test_an_administrator_says_in_per_cent_what_a_role_may_offer_on_its_own(desk):
    boss = desk.person("admin", "north", "de")
    before = form_of(boss)
    sent = {
        "limits/estimator/most_discount": "7,5",
        "limits/estimator/least_margin": "18 %",
        "limits/crm/least_margin": "",
    }
    assert boss.send("/policy", before | sent, on="/policy").headers["Location"] == "/policy?done=yes"
    shown = boss.get("/policy").text
    assert 'name="limits/estimator/most_discount" value="7.5"' in shown
    assert 'name="limits/crm/least_margin" value=""' in shown
    kept = policy_of(desk, "admin.north.de@example.com")
    assert kept.of("estimator").most_discount == Decimal("0.075")
    assert kept.of("estimator").least_margin == Decimal("0.18")
    assert kept.of("crm").least_margin is None

    late = boss.send("/policy", before | {"limits/estimator/most_discount": "90"}, on="/policy")
    assert late.status_code == 412
    assert policy_of(desk, "admin.north.de@example.com").version == kept.version


def test_what_is_no_percentage_is_told_at_its_field_and_changes_nothing(desk):
    boss = desk.person("admin", "south")
    sent = form_of(boss) | {"limits/estimator/most_discount": "140", "limits/pricing/least_margin": "much"}
    answer = boss.send("/policy", sent, on="/policy")
    assert answer.status_code == 422
    assert 'id="limits-estimator-most_discount-fault"' in answer.text
    assert 'id="limits-pricing-least_margin-fault"' in answer.text
    assert policy_of(desk, "admin.south.en@example.com").version == 1


def test_those_who_may_only_read_the_policy_see_it_without_a_button(desk):
    reader = desk.person("estimator", "south")
    assert '<button class="main">' not in reader.get("/policy").text
    assert reader.send("/policy", {"version": "1"}, on="/me").status_code == 403


def test_administrators_see_who_of_their_house_was_here_last_and_nobody_elses(desk):
    boss = desk.person("admin", "east")
    desk.person("purchasing", "east")
    desk.person("purchasing", "west")
    shown = boss.get("/people").text
    assert "purchasing.east.en@example.com" in shown
    assert "west" not in shown
    assert desk.person("estimator", "east").get("/people").status_code == 403
