"""A CRM posts a job once, follows it, changes it without losing anybody's change."""

from concurrent.futures import ThreadPoolExecutor

from api_tests.posted import a_job


def test_a_posted_job_is_read_back_as_it_was_posted(crm):
    job = a_job()
    posted = crm.post_job(job)
    assert posted.status_code == 201
    assert posted.headers["Location"] == f"/v1/jobs/{posted.json()['id']}"
    read = crm.job(posted.json()["id"])
    assert read.json()["job"] == job
    assert read.headers["ETag"] == posted.headers["ETag"]


def test_the_network_may_repeat_a_request_but_there_is_one_job(crm):
    job = a_job()
    first = crm.post_job(job, once="key-of-" + job["reference"])
    again = crm.post_job(job, once="key-of-" + job["reference"])
    assert (first.status_code, again.status_code) == (201, 201)
    assert first.content == again.content
    assert first.headers["Location"] == again.headers["Location"]
    assert again.headers["Idempotent-Replayed"] == "true"
    assert len(crm.jobs(reference=job["reference"]).json()["items"]) == 1


def test_many_repetitions_at_once_make_one_job(crm):
    job = a_job()
    with ThreadPoolExecutor(8) as pool:
        answers = list(pool.map(lambda _: crm.post_job(job, once="at-once-" + job["reference"]), range(8)))
    assert {answer.status_code for answer in answers} <= {201, 409}
    assert len({answer.json()["id"] for answer in answers if answer.status_code == 201}) == 1
    assert len(crm.jobs(reference=job["reference"]).json()["items"]) == 1


def test_the_same_key_with_another_job_is_refused(crm):
    job = a_job()
    crm.post_job(job, once="reused-" + job["reference"])
    other = crm.post_job({**job, "title": "Another"}, once="reused-" + job["reference"])
    assert other.status_code == 422
    assert other.json()["type"] == "/problems/key-used-before"


def test_a_key_of_a_refused_request_serves_the_mended_one(crm):
    job = a_job()
    refused = crm.post_job({**job, "display_units": "furlongs"}, once="mend-" + job["reference"])
    assert refused.status_code == 422
    assert crm.post_job(job, once="mend-" + job["reference"]).status_code == 201


def test_a_reference_serves_one_job(crm):
    job = a_job()
    crm.post_job(job)
    again = crm.post_job(job)
    assert again.status_code == 409
    assert again.json()["type"] == "/problems/already-used"


def test_a_change_needs_the_version_it_was_made_to(crm):
    posted = crm.post_job(a_job())
    job_id, etag = posted.json()["id"], posted.headers["ETag"]
    assert crm.change_job(job_id, {"title": "Hall 2"}).status_code == 428
    changed = crm.change_job(job_id, {"title": "Hall 2"}, etag)
    assert changed.status_code == 200
    assert changed.json()["title"] == "Hall 2"
    assert crm.change_job(job_id, {"title": "Hall 3"}, etag).status_code == 412
    assert crm.job(job_id).json()["title"] == "Hall 2"
    assert crm.change_job(job_id, {"title": "Hall 3"}, "nonsense").status_code == 400


def test_of_changes_at_once_one_wins_and_the_others_are_told(crm):
    posted = crm.post_job(a_job())
    job_id, etag = posted.json()["id"], posted.headers["ETag"]
    with ThreadPoolExecutor(6) as pool:
        answers = list(pool.map(lambda n: crm.change_job(job_id, {"title": f"Hall {n}"}, etag).status_code, range(6)))
    assert sorted(answers) == [200, 412, 412, 412, 412, 412]


def test_a_change_that_makes_no_job_changes_nothing(crm):
    posted = crm.post_job(a_job())
    job_id, etag = posted.json()["id"], posted.headers["ETag"]
    refused = crm.change_job(job_id, {"module": {"mass": -1}, "roofs": None}, etag)
    assert refused.status_code == 422
    assert {each["pointer"] for each in refused.json()["errors"]} == {"/module/mass", "/roofs"}
    assert crm.job(job_id).headers["ETag"] == etag


def test_what_has_not_changed_is_not_sent_again(crm):
    posted = crm.post_job(a_job())
    answer = crm.get(f"/v1/jobs/{posted.json()['id']}", headers={"If-None-Match": posted.headers["ETag"]})
    assert answer.status_code == 304
    assert answer.content == b""


def test_pages_lead_through_all_jobs_once_and_a_made_up_cursor_is_refused(crm):
    made = {crm.post_job(a_job()).json()["id"] for _ in range(5)}
    seen, address = [], "/v1/jobs?limit=2"
    while address:
        page = crm.get(address).json()
        assert len(page["items"]) <= 2
        seen += [each["id"] for each in page["items"]]
        address = page["next"]
    assert len(seen) == len(set(seen))
    assert made <= set(seen)
    assert seen == sorted(seen, reverse=True)
    link = crm.jobs(limit=2).headers["Link"]
    assert 'rel="next"' in link
    assert crm.jobs(cursor="AAAAAAAAAAAAAAAAAAAAAAAA").status_code == 422


def test_a_list_of_jobs_tells_them_in_short_and_each_is_whole_on_its_own(crm):
    job = a_job()
    posted = crm.post_job(job).json()
    [listed] = crm.jobs(reference=job["reference"]).json()["items"]
    assert listed == {name: posted[name] for name in listed}
    assert set(posted) - set(listed) == {"job", "warnings"}
    assert crm.get(listed["links"]["self"]).json()["job"] == job
