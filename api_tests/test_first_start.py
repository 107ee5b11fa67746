"""The first start prints a key once; what was made survives a restart."""

from api_tests.all_calls import AllCalls as Client
from api_tests.conftest import Service
from api_tests.posted import a_job


def test_the_first_start_prints_one_key_and_later_starts_none(tmp_path):
    service = Service(tmp_path, from_nothing=True).start()
    printed = service.stop()
    keys = [line.removeprefix("key: ") for line in printed.splitlines() if line.startswith("key: ")]
    assert len(keys) == 1
    again = Service(tmp_path, from_nothing=True).start()
    client = Client(again.base, keys[0])
    posted = client.post_job(a_job("KEPT-1"))
    assert posted.status_code == 201
    assert "key:" not in again.stop()
    third = Service(tmp_path, from_nothing=True).start()
    assert Client(third.base, keys[0]).job(posted.json()["id"]).json()["reference"] == "KEPT-1"
    third.stop()


def test_a_revoked_key_opens_nothing_and_a_rotated_one_lives_on_for_a_while(service):
    key = service.key("crm", name="to be rotated")
    prefix = key.split("_")[1]
    newer = service.run("keys", "rotate", prefix).removeprefix("key: ").strip()
    assert Client(service.base, key).jobs().status_code == 200
    assert Client(service.base, newer).jobs().status_code == 200
    service.run("keys", "revoke", prefix)
    assert Client(service.base, key).jobs().status_code == 401
    assert Client(service.base, newer).jobs().status_code == 200
    listed = service.run("keys", "list")
    assert prefix in listed
    assert key not in listed
