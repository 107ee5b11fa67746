"""A job in its form without scripts: entered, redrawn, changed by buttons, saved, met by another's change, quoted."""

import io
import json
import re
from datetime import date

import pytest

from estimator.contract.merging import merged
from estimator.contract.requests.posted_job.job import JobSchema
from estimator.demo import demo_jobs
from estimator.service.jobs import list_jobs
from estimator.service.people.accounts import list_people
from estimator.web.forms.entries import FormEntry, put
from estimator.web.forms.job_entries import ARRAY
from estimator.web.forms.job_form import plain_cells
from tests.web.browser import fields_in
from tests.web.desks import Desk, a_posted_job


@pytest.fixture(scope="module")
def desk(tmp_path_factory):
    made = Desk(tmp_path_factory.mktemp("desk"))
    made.estimator = made.person("estimator")
    made.client = next(person.client for person, _ in list_people(made.context))
    yield made
    made.context.engine.dispose()


def pressed(desk, page, do, **changes):
    return desk.estimator.client.post("/jobs/form", data={**fields_in(page.text), "do": do, **changes})


@pytest.fixture
def sample(desk):
    return desk.estimator.get("/jobs/new?from=sample")


def drawn_modules(page):
    return int(re.search(r'data-modules="(\d+)"', page.text)[1])


def stored(desk, page):
    return desk.context, re.search(r"/jobs/([0-9a-f-]{36})", page.headers["Location"])[1]


@pytest.mark.parametrize(("typed", "us", "value"), [
    ("1500", False, 1500), ("1,5", False, 1.5), ("12", True, "12 in"), ("1 1/4 in", False, "1 1/4 in"),
    ("1,500", False, "1,500"), ("", False, None), ("much", False, "much"),
])  # fmt: skip
def test_a_length_is_taken_in_the_unit_beside_its_field_and_what_is_no_length_is_kept_to_be_refused(typed, us, value):
    entry = next(each for each in ARRAY if each.path == "x")
    assert entry.read(typed, None, us) == value


def test_a_value_shown_in_inches_and_not_touched_stays_the_millimetres_it_was():
    entry = FormEntry("length", "", "quantity", "length", ("mm", "in"))
    assert entry.shown(1722, True) == "67.79528"
    assert entry.read("67.79528", 1722, True) == 1722
    assert entry.read("67.8", 1722, True) == "67.8 in"


def test_paths_that_lead_nowhere_change_nothing():
    document = {"roofs": [{"name": "South"}]}
    for path in ("roofs/5/name", "roofs/x/name", "roofs/0/arrays/0/x", "roofs/-1/name"):
        put(document, path, "other")
    assert document == {"roofs": [{"name": "South"}]}


def test_what_two_people_changed_is_kept_and_where_both_did_it_is_told():
    base = {"title": "a", "roofs": [{"slope": 10, "name": "South"}]}
    mine = {"title": "b", "roofs": [{"slope": 12, "name": "South"}]}
    theirs = {"title": "c", "roofs": [{"slope": 10, "name": "North"}], "notes": "n"}
    together = {"title": "b", "roofs": [{"slope": 12, "name": "North"}], "notes": "n"}
    assert merged(base, mine, theirs) == (together, ("/title",))


def test_a_new_form_is_empty_and_draws_nothing_and_the_sample_is_drawn(desk, sample):
    empty = desk.estimator.get("/jobs/new")
    assert empty.status_code == 200 and "roof-plan" not in empty.text
    assert drawn_modules(sample) == 28
    assert 'data-cells="[[' in sample.text


def test_the_plan_follows_the_fields_and_faults_stand_at_theirs(desk, sample):
    page = pressed(desk, sample, "look", **{"roofs/0/arrays/0/rows": "2", "roofs/0/arrays/0/omit": ""})
    assert drawn_modules(page) == 20
    page = pressed(desk, sample, "look", **{"roofs/0/slope": "steep", "module/length": "-3"})
    assert 'id="roofs-0-slope-fault">&#39;steep' in page.text and 'aria-describedby="module-length-fault"' in page.text
    assert fields_in(page.text)["roofs/0/slope"] == "steep"


def test_redrawing_answers_with_plan_and_faults_and_stores_nothing(desk, sample):
    before = len(list_jobs(desk.context, desk.client, before=None, limit=200))
    sent = {**fields_in(sample.text), "roofs/0/arrays/0/columns": "6"}
    told = desk.estimator.client.post("/jobs/draw", data=sent).get_json()
    assert told["faults"] == {} and 'data-modules="16"' in told["plan"]
    told = desk.estimator.client.post("/jobs/draw", data={**sent, "roofs/0/eave_length": "x"}).get_json()
    assert list(told["faults"]) == ["roofs/0/eave_length"]
    assert len(list_jobs(desk.context, desk.client, before=None, limit=200)) == before


def test_arrays_roofs_and_obstructions_come_and_go_by_buttons(desk, sample):
    page = pressed(desk, sample, "add:roofs/0/arrays")
    assert fields_in(page.text)["roofs/0/arrays/1/name"] == "B"
    page = pressed(desk, page, "remove:roofs/0/arrays/0")
    assert "roofs/0/arrays/1/name" not in fields_in(page.text)
    page = pressed(desk, page, "add:roofs")
    assert fields_in(page.text)["roofs/1/ribs/spacing"] == fields_in(page.text)["roofs/0/ribs/spacing"]
    page = pressed(desk, page, "remove:roofs/0/obstructions/0")
    assert "roofs/0/obstructions/0/name" not in fields_in(page.text)


def test_modules_under_a_skylight_and_within_its_clearance_go(desk, sample):
    """The array's corner is 2000, 900; a module 1134 wide, 20 apart: columns 1 and 2 meet at 3134 to 3154."""
    new = {"new/0/name": "vent", "new/0/x": "3000", "new/0/y": "1000", "new/0/width": "100", "new/0/height": "100"}
    page = pressed(desk, sample, "room:0", **new, **{"new/0/clearance": "55"})
    assert fields_in(page.text)["roofs/0/arrays/0/omit"] == "1/1 1/2 2/5 2/6" and drawn_modules(page) == 26
    page = pressed(desk, sample, "room:0", **new, **{"new/0/clearance": "54"})
    assert fields_in(page.text)["roofs/0/arrays/0/omit"] == "1/1 2/5 2/6"
    assert fields_in(page.text)["roofs/0/obstructions/1/name"] == "vent"
    page = pressed(desk, sample, "room:0", **{**new, "new/0/width": "wide"})
    assert "roofs/0/obstructions/1/name" not in fields_in(page.text)
    assert fields_in(page.text)["new/0/width"] == "wide" and 'id="new-0-width-fault">&#39;wide' in page.text


def test_a_job_is_saved_changed_copied_and_given_back_as_a_file(desk, sample):
    saved = pressed(desk, sample, "save", reference="FORM-1")
    assert saved.status_code == 303
    _, job_id = stored(desk, saved)
    page = desk.estimator.get(f"/jobs/{job_id}")
    changed = pressed(desk, page, "save", title="Renamed")
    assert changed.status_code == 303 and "Renamed" in desk.estimator.get("/jobs").text
    file = desk.estimator.get(f"/jobs/{job_id}/job.json")
    assert JobSchema().load(json.loads(file.data)).title == "Renamed"
    copy = desk.estimator.get(f"/jobs/new?from={job_id}")
    assert fields_in(copy.text)["reference"] == "" and fields_in(copy.text)["job_id"] == ""
    again = pressed(desk, copy, "save", reference="FORM-1")
    assert again.status_code == 409 and drawn_modules(again) == 28


def test_two_people_on_one_job_lose_nothing(desk, sample):
    _, job_id = stored(desk, pressed(desk, sample, "save", reference="FORM-2"))
    mine, theirs = desk.estimator.get(f"/jobs/{job_id}"), desk.estimator.get(f"/jobs/{job_id}")
    assert pressed(desk, theirs, "save", **{"customer/name": "Their change", "title": "Theirs"}).status_code == 303
    met = pressed(desk, mine, "save", **{"roofs/0/slope": "12", "title": "Mine"})
    fields = fields_in(met.text)
    assert met.status_code == 200 and "Somebody else saved this job" in met.text and "<code>/title</code>" in met.text
    assert (fields["customer/name"], fields["roofs/0/slope"], fields["title"]) == ("Their change", "12", "Mine")
    assert pressed(desk, met, "save").status_code == 303
    kept = desk.estimator.get(f"/jobs/{job_id}/job.json").get_json()
    assert (kept["customer"]["name"], kept["roofs"][0]["slope"], kept["title"]) == ("Their change", 12, "Mine")


def test_a_file_is_imported_into_the_form_with_its_faults(desk):
    def sent(content):
        file = {"file": (io.BytesIO(content), "job.json")}
        return desk.estimator.send("/jobs/import", file, on="/jobs", content_type="multipart/form-data")

    page = sent(json.dumps(a_posted_job("FORM-3")).encode())
    assert drawn_modules(page) == 28 and fields_in(page.text)["reference"] == "FORM-3"
    wrong = sent(json.dumps({**a_posted_job("FORM-4"), "module": {"name": "m"}, "colour": "red"}).encode())
    assert "<code>/colour</code>" in wrong.text and 'id="module-length-fault">missing' in wrong.text
    for content in (b"", b"[1]", b"{", b"\xff"):
        assert sent(content).status_code == 422


def imported(desk, job):
    file = {"file": (io.BytesIO(json.dumps(job).encode()), "job.json")}
    return desk.estimator.send("/jobs/import", file, on="/jobs", content_type="multipart/form-data")


@pytest.mark.parametrize(
    "job", [job.document(date(2026, 12, 1)) for job in demo_jobs()], ids=lambda job: job["reference"]
)
def test_a_job_that_is_imported_and_saved_by_its_form_is_the_job_that_it_was(desk, job):
    _, job_id = stored(desk, pressed(desk, imported(desk, job), "save"))
    kept = desk.estimator.get(f"/jobs/{job_id}/job.json").get_json()
    assert kept == plain_cells(job)
    assert JobSchema().load(kept) == JobSchema().load(job)


def test_what_has_no_field_is_shown_below_them_with_its_faults_and_typed_there(desk, sample):
    page = imported(desk, a_posted_job("FORM-5", colour={"of": "rust"}))
    assert fields_in(page.text)["further"] == '/colour = {"of":"rust"}'
    refused = pressed(desk, page, "save")
    assert refused.status_code == 422 and 'id="further-fault"><code>/colour</code>' in refused.text
    unread = pressed(desk, page, "save", further="what is this")
    assert unread.status_code == 422 and fields_in(unread.text)["further"] == "what is this"
    drawn = desk.estimator.client.post("/jobs/draw", data={**fields_in(page.text), "further": "what is this"})
    assert list(drawn.get_json()["faults"]) == ["further"]
    assert pressed(desk, page, "save", further="").status_code == 303


def test_saving_and_quoting_leads_to_the_quote(desk, sample):
    quoted = pressed(desk, sample, "quote", reference="FORM-6")
    assert quoted.status_code == 303 and quoted.headers["Location"].startswith("/quotes/")
    page = desk.estimator.get(quoted.headers["Location"])
    assert "Prepared by" in page.text
    refused = pressed(desk, sample, "quote", reference="FORM-7", pricebook="no such book")
    assert refused.status_code == 422 and "no such book" in refused.text


def test_who_only_reads_jobs_gets_the_form_without_its_buttons(desk, sample):
    _, job_id = stored(desk, pressed(desk, sample, "save", reference="FORM-8"))
    buyer = desk.person("purchasing")
    page = buyer.get(f"/jobs/{job_id}").text
    assert 'value="save"' not in page and "<fieldset disabled>" in page
    assert buyer.send("/jobs/form", {"do": "save"}).status_code == 403
