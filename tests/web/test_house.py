"""What roles may offer on their own, and who has an account, on pages of their own."""

import re
from decimal import Decimal

import pytest

from estimator.service.access import audit
from estimator.service.access.audit import AuditFilter
from estimator.service.access.policy import get_policy
from estimator.service.people.accounts import list_people
from tests.web.desks import WORDS, Desk, Sender


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


NEWCOMER = {"login": "New@example.com", "name": "New Person", "role": "purchasing", "language": "fr", "units": "us"}


def people_by_login(desk):
    return {person.login: person for person, _ in list_people(desk.context)}


def deeds_of(desk, boss, account_id):
    """What the log says of an account: action and who, the newest first."""
    found = audit.list_lines(desk.context, boss.client, AuditFilter(), before=None, limit=50)
    return [(line.action, line.who.name) for line in found if line.thing.id == account_id]


def test_an_administrator_invites_somebody_whose_link_is_shown_once_and_opens(desk):
    boss = desk.person("admin", "inviting")
    made = boss.send("/people", NEWCOMER, on="/people")
    link = re.search(r'value="(http://localhost/invitations/[\w-]+)"', made.text)[1]
    person = people_by_login(desk)["new@example.com"]
    assert (person.role, person.language, person.units, person.standing) == ("purchasing", "fr", "us", "invited")
    assert "invitations/" not in boss.get(f"/people/{person.id}").text
    newcomer = Sender(desk.app.test_client())
    path = link.removeprefix("http://localhost")
    assert newcomer.send(path, {"password": WORDS, "again": WORDS}, on=path).status_code == 303
    assert "New Person" in newcomer.get("/me").text
    owner = people_by_login(desk)["admin.inviting.en@example.com"]
    log = deeds_of(desk, owner, person.id)
    assert log == [("account.password_chosen", "New Person"), ("account.invited", owner.name)]


def test_bad_words_of_an_invitation_are_all_told_at_their_fields(desk):
    boss = desk.person("admin", "inviting")
    answer = boss.send("/people", {**NEWCOMER, "login": " ", "role": "king"}, on="/people")
    assert answer.status_code == 422
    assert 'id="login-fault"' in answer.text and 'id="role-fault"' in answer.text
    again = boss.send("/people", {**NEWCOMER, "login": "admin.inviting.en@example.com"}, on="/people")
    assert again.status_code == 409


def test_an_account_is_changed_and_ended_and_whoever_was_signed_in_is_out(desk):
    boss = desk.person("admin", "changing")
    clerk = desk.person("purchasing", "changing")
    person = people_by_login(desk)["purchasing.changing.en@example.com"]
    page = f"/people/{person.id}"
    sent = {"do": "change", "name": "Other Name", "role": "pricing", "language": "es", "units": "metric"}
    assert boss.send(page, sent, on=page).headers["Location"] == f"{page}?done=yes"
    assert clerk.get("/orders").status_code == 403 or clerk.get("/me").text.find("Other Name") > 0
    assert boss.send(page, {"do": "end"}, on=page).status_code == 303
    assert clerk.get("/me").status_code == 303
    assert people_by_login(desk)[person.login].standing == "ended"
    assert boss.send(page, {"do": "invite"}, on="/people").status_code == 409
    owner = people_by_login(desk)["admin.changing.en@example.com"]
    assert deeds_of(desk, owner, person.id)[:2] == [("account.ended", owner.name), ("account.changed", owner.name)]


def test_nobody_ends_their_own_account_nor_changes_their_own_role(desk):
    boss = desk.person("admin", "keeping")
    own = people_by_login(desk)["admin.keeping.en@example.com"]
    page = f"/people/{own.id}"
    assert boss.send(page, {"do": "end"}, on=page).status_code == 409
    sent = {"do": "change", "name": own.name, "role": "crm", "language": "en", "units": "metric"}
    assert boss.send(page, sent, on=page).status_code == 409
    assert boss.send(page, {**sent, "role": "admin", "name": "Boss"}, on=page).status_code == 303
    kept = people_by_login(desk)[own.login]
    assert (kept.role, kept.name, kept.standing) == ("admin", "Boss", "open")


def test_people_of_another_house_are_not_there_and_others_manage_nobody(desk):
    boss = desk.person("admin", "keeping")
    desk.person("crm", "west")
    stranger = people_by_login(desk)["crm.west.en@example.com"]
    assert boss.get(f"/people/{stranger.id}").status_code == 404
    assert boss.send(f"/people/{stranger.id}", {"do": "end"}, on="/people").status_code == 404
    assert people_by_login(desk)[stranger.login].standing == "open"
    assert desk.person("estimator", "keeping").send("/people", NEWCOMER, on="/me").status_code == 403


def test_somebodys_own_change_of_language_stands_in_the_log_under_their_name(desk):
    clerk = desk.person("estimator", "own")
    assert clerk.send("/me", {"language": "de", "units": "metric"}).status_code == 303
    own = people_by_login(desk)["estimator.own.en@example.com"]
    assert deeds_of(desk, own, own.id)[0] == ("account.changed", own.name)
