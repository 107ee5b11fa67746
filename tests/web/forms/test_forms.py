"""The job's form and the job: every field of the contract has a place in it, and nothing that a job holds is lost."""

import json
import random
from datetime import date

import pytest
from marshmallow import fields
from werkzeug.datastructures import MultiDict

from estimator.contract.requests.choices import ChoicesSchema
from estimator.contract.requests.posted_job import job, roof
from estimator.contract.requests.posted_job.job import JobSchema
from estimator.demo import demo_jobs, sample_job
from estimator.errors import Fault
from estimator.web.forms.choices_form import choices_form, choices_of
from estimator.web.forms.entries import FormEntry, find
from estimator.web.forms.further import further_lines, further_read, further_text
from estimator.web.forms.job_form import added, covered, document_of, job_form, no_room, plain_cells
from tests.web.desks import Desk, a_posted_job

ELSEWHERE = {"overrides"}
"""Failed checks are overridden on the quote's page, where they are told."""


def example(field):
    """What the description gives as an example of a field, whole objects and lists from those of their parts."""
    if isinstance(field, fields.Nested):
        return {name: example(each) for name, each in named(field.schema)}
    inner = getattr(field, "inner", None)
    if isinstance(inner, fields.Nested):
        return [example(inner), example(inner)]
    told = field.metadata.get("examples", [None])[0]
    return told if told is not None else (field.metadata.get("enum") or [None])[0]


def named(schema):
    return [(field.data_key or name, field) for name, field in schema.fields.items()]


def leaves(schema, base=""):
    for name, field in named(schema):
        inner = getattr(field, "inner", None)
        if isinstance(field, fields.Nested):
            yield from leaves(field.schema, f"{base}{name}/")
        elif isinstance(inner, fields.Nested):
            yield from leaves(inner.schema, f"{base}{name}/0/")
        else:
            yield base + name


def sent_back(document, us, **changes):
    """The document of the form as a browser sends it, line ends and all, with changes of its fields."""
    form = job_form(document, [], us=us)
    shown = {one.path: one.value.replace("\n", "\r\n") for one in form.fields()}
    return document_of(MultiDict({**shown, "further": form.further, **changes}), document, us=us)


def every_job():
    yield from ((job.file.stem, job.document(date(2026, 12, 1))) for job in demo_jobs())
    yield from ((f"sample {units}", json.loads(sample_job(units))) for units in ("metric", "us"))
    whole = {name: example(field) for name, field in named(JobSchema())}
    yield "every example", whole
    yield "nulls", nulls(whole)
    yield "not as it should be", {
        "roofs": [7, {"arrays": {"x": 1}}, {"arrays": [None, {"wider_gaps": "no", "omit": [[1], "x"]}]}],
        "module": None, "site": {"loads": None, "address": {"lines": "one text"}}, "a/b": {"~": [1.50]}, "": 1,
        "mounting": {"rails_per_row": 2.0, "stagger": False, "max_span": " 4 ft "}, "title": {"not": "a text"},
    }  # fmt: skip


def nulls(document):
    if isinstance(document, dict):
        return {name: nulls(each) for name, each in document.items()}
    inside = isinstance(document, list) and all(isinstance(each, dict) for each in document)
    return [nulls(each) for each in document] if inside else None


@pytest.mark.parametrize(("name", "job"), list(every_job()), ids=lambda each: each if isinstance(each, str) else "")
@pytest.mark.parametrize("us", [False, True], ids=["metric", "us"])
def test_a_form_that_comes_back_as_it_was_is_the_job_it_was_made_from(name, job, us):
    document = plain_cells(job)
    back = sent_back(document, us)
    assert (back.document, back.faults) == (document, ())


def test_every_field_of_a_posted_job_has_a_field_in_the_form():
    blank = {"roofs": [{"arrays": [{}], "obstructions": [{}]}]}
    drawn_as_rows_and_columns = {"roofs/0/arrays/0/cells"}
    assert set(leaves(JobSchema())) - covered(blank) == drawn_as_rows_and_columns


def test_every_choice_of_a_quote_has_a_field_where_it_is_adjusted():
    form = choices_form({}, ["XB-1"], [], us=False)
    paths = {one.path for one in form.fields()}
    for path in leaves(ChoicesSchema()):
        first, _, rest = path.partition("/0/")
        if first in {"line_discounts", "line_changes"}:
            assert f"line/0/{rest or 'discount'}" in paths | {"line/0/part", "line/0/struck"}, path
        elif first not in ELSEWHERE:
            assert path in paths, path


def test_choices_that_come_back_as_they_were_are_what_they_were():
    whole = {name: example(field) for name, field in named(ChoicesSchema()) if name not in ELSEWHERE}
    whole["line_changes"] = whole["line_changes"][:1]
    for us in (False, True):
        form = choices_form(whole, ["XB-40", "XB-41"], [], us=us)
        shown = MultiDict({one.path: one.value for one in form.fields()})
        for line in form.lines:
            shown[f"line/{line.number}/part"] = line.part
            if line.struck:
                shown[f"line/{line.number}/struck"] = "yes"
        assert choices_of(shown, whole, us=us) == {
            name: value for name, value in whole.items() if value not in ([], {})
        }


def test_rows_come_when_they_are_filled_in_and_go_when_they_are_emptied():
    job = plain_cells(a_posted_job())
    base = "roofs/0/arrays/0/wider_gaps"
    one = sent_back(job, False, **{f"{base}/0/after_column": "5", f"{base}/0/width": "90"}).document
    assert one["roofs"][0]["arrays"][0]["wider_gaps"] == [{"after_column": 5, "width": 90}]
    two = sent_back(one, True, **{f"{base}/1/after_row": "1", f"{base}/1/width": "2"}).document
    assert two["roofs"][0]["arrays"][0]["wider_gaps"][1] == {"after_row": 1, "width": "2 in"}
    gone = sent_back(two, False, **{f"{base}/0/after_column": "", f"{base}/0/width": ""}).document
    assert gone["roofs"][0]["arrays"][0]["wider_gaps"] == [{"after_row": 1, "width": "2 in"}]
    none = sent_back(gone, False, **{f"{base}/0/after_row": "", f"{base}/0/width": ""}).document
    assert "wider_gaps" not in none["roofs"][0]["arrays"][0]


def test_pressures_and_factors_of_an_engineer_are_typed_in_the_readers_units():
    job = {**plain_cells(a_posted_job()), "site": {}}
    changes = {"site/loads/standard": "given", "site/loads/given/0/zone": "edge", "site/loads/given/0/uplift": "25",
               "site/loads/factors": "ze = 8,5\r\nC t=1.1\r\nodd"}  # fmt: skip
    loads = sent_back(job, True, **changes).document["site"]["loads"]
    assert loads["given"] == [{"zone": "edge", "uplift": "25 psf"}]
    assert loads["factors"] == {"ze": 8.5, "C t": 1.1, "odd": ""}


def test_a_number_that_is_chosen_is_a_number():
    """Rails under each row are chosen from a list; the contract takes a whole number, no text."""
    made = sent_back(plain_cells(a_posted_job()), False, **{"mounting/rails_per_row": "3"}).document
    assert JobSchema().load(made).mounting.rails_per_row == 3


def test_faults_stand_at_the_field_the_row_or_the_first_field_of_what_they_are_about():
    job = plain_cells(a_posted_job(colour={"of": "rust"}))
    job["roofs"][0]["arrays"][0]["wider_gaps"] = [{"width": 90}]
    pointers = ["/colour/of", "/roofs/0/arrays/0/wider_gaps/0", "/roofs/0/purlins", "/module/length", "/elsewhere", ""]
    form = job_form(job, [Fault(pointer, f"wrong: {pointer}") for pointer in pointers], us=False)
    told = {one.path: one.fault for one in form.fields() if one.fault}
    assert told == {
        "roofs/0/purlins/spacing": "wrong: /roofs/0/purlins", "module/length": "wrong: /module/length",
    }  # fmt: skip
    assert form.roofs[0].arrays[0].rows[0].rows[0].fault == "wrong: /roofs/0/arrays/0/wider_gaps/0"
    assert [fault.pointer for fault in form.further_faults] == ["/colour/of"]
    assert [fault.pointer for fault in form.others] == ["/elsewhere", ""]


def test_further_fields_are_changed_added_and_taken_away_line_by_line():
    document = {"title": "t", "colour": "red", "roofs": [{"name": "S", "age": 12}], "list": [1, 2]}
    known = covered(document)
    lines = further_lines(document, known)
    assert further_text(lines) == '/colour = "red"\n/roofs/0/age = 12\n/list = [1,2]'
    text = '/colour = "blue"\n\n/list = [1,2]\n/new/thing = {"a": null}\n'
    made = further_read(text, document, lines, known)
    assert made.faults == ()
    assert made.document == {
        "title": "t", "colour": "blue", "roofs": [{"name": "S"}], "list": [1, 2], "new": {"thing": {"a": None}},
    }  # fmt: skip


@pytest.mark.parametrize(("text", "pointer"), [
    ("nonsense", "/further"), ("/colour = red", "/further"), ('/title = "x"', "/title"), ('/roofs = []', "/roofs"),
    ("/roofs/9/age = 1", "/roofs/9/age"), ("/list/x = 1", "/list/x"), ("/a = 1\n/a = 2", "/a"),
])  # fmt: skip
def test_a_further_field_that_cannot_be_put_in_is_a_fault_at_its_place_and_changes_nothing(text, pointer):
    document = {"title": "t", "roofs": [{"name": "S"}], "list": [1, 2]}
    known = covered(document)
    made = further_read(f"/list = [1,2]\n{text}", document, further_lines(document, known), known)
    assert [fault.pointer for fault in made.faults] == [pointer]
    assert made.document == document


def test_what_is_no_day_is_shown_as_text_for_a_browser_would_empty_it():
    entry = FormEntry("needed_on", "", "date")
    assert [entry.is_day(each) for each in ("", "2027-03-15", "15.3.2027", "2027-3-1")] == [True, True, False, False]


def test_a_large_job_with_cells_left_out_everywhere_comes_back_whole():
    chance = random.Random(4)
    job = plain_cells(a_posted_job())
    cells = [[row, column] for row in range(1, 60) for column in range(1, 60) if chance.random() < 0.4]
    job["roofs"][0]["arrays"] = [{**job["roofs"][0]["arrays"][0], "name": f"A{at}", "omit": cells} for at in range(40)]
    assert sent_back(job, True).document == job


def test_faults_are_told_in_the_language_and_units_of_whoever_looks(tmp_path):
    desk = Desk(tmp_path)
    visitor = desk.person("estimator", language="de", units="us")
    job = a_posted_job()
    job["roofs"][0]["slope"] = 95
    job["module"]["mass"] = -3
    sent = {"base": json.dumps(job), "origin": json.dumps(job), "do": "look"}
    page = visitor.send("/jobs/form", sent).text.replace("\N{NO-BREAK SPACE}", " ")
    assert "95° liegt außerhalb des Bereichs; erlaubt: 0 bis 89°" in page
    assert "über 0 lb" in page and "out of range" not in page
    desk.context.engine.dispose()


@pytest.mark.parametrize(
    ("path", "kind", "most"),
    [("roofs", "roofs", 60), ("roofs/0/arrays", "arrays", 200), ("roofs/0/obstructions", "obstructions", 200)],
)
def test_a_form_that_is_full_says_what_it_adds_and_what_a_file_may_hold(path, kind, most):
    """Not one more is added beyond what the form says, and the sentence names what a posted job may hold."""
    document = a_posted_job()
    while no_room(document, path) is None:
        before, document = document, added(document, path)
        assert len(find(document, path)) == len(find(before, path) or []) + 1
    assert len(find(document, path)) == most
    assert added(document, path) == document
    longest = {"roofs": job.MOST_ROOFS, "arrays": roof.MOST_ARRAYS, "obstructions": roof.MOST_OBSTRUCTIONS}[kind]
    told = job_form(document, [], us=False).full[path]
    assert str(most) in told and str(longest) in told.replace(",", ""), told
