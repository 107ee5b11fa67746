"""Keys over REST, for admins of one house: made, listed, replaced, revoked; a key is told once and never kept."""

import pytest
from sqlalchemy import text

from estimator.service.access import keys
from tests.api.house import House


@pytest.fixture
def house(tmp_path):
    made = House(tmp_path)
    yield made
    made.close()


def test_a_key_is_made_used_replaced_and_revoked(house):
    admin = house.key("admin")
    made = house.call(admin, "POST", "/v1/keys", json={"role": "crm", "name": "The CRM"})
    assert made.status_code == 201
    first = made.get_json()
    assert first["key"].startswith(first["begins_with"])
    assert house.call(first["key"], "GET", "/v1/jobs").status_code == 200
    here = f"/v1/keys/{first['id']}"
    assert house.call(admin, "GET", here).get_json()["last_used_at"] is not None
    second = house.call(admin, "POST", f"{here}/rotate", json={"overlap_days": 3}).get_json()
    assert second["client"] == first["client"]
    for key in (first["key"], second["key"]):
        assert house.call(key, "GET", "/v1/jobs").status_code == 200
    assert house.call(admin, "POST", f"{here}/rotate").status_code == 409
    assert house.call(admin, "POST", f"{here}/revoke").get_json()["state"] == "revoked"
    assert house.call(first["key"], "GET", "/v1/jobs").status_code == 401
    assert house.call(second["key"], "GET", "/v1/jobs").status_code == 200
    listed = house.call(admin, "GET", "/v1/keys").get_json()["items"]
    assert [(each["role"], each["state"]) for each in listed] == [
        ("crm", "live"),
        ("crm", "revoked"),
        ("admin", "live"),
    ]
    assert "key" not in listed[0]


def test_the_same_request_makes_one_key_and_tells_it_once(house):
    admin = house.key("admin")
    asked = {"json": {"role": "crm", "name": "The CRM"}, "headers": {"Idempotency-Key": "once"}}
    first = house.call(admin, "POST", "/v1/keys", **asked).get_json()
    again = house.call(admin, "POST", "/v1/keys", **asked)
    assert again.status_code == 201
    assert again.get_json() == {**first, "key": None}
    assert len(keys.list_keys(house.context)) == 2
    secret = first["key"].split("_", 2)[2]
    with house.context.engine.connect() as connection:
        for table in ("api_key", "idempotency"):
            assert secret[:20] not in str(connection.execute(text(f"SELECT * FROM {table}")).all())


def test_only_admins_manage_keys_and_only_those_of_their_house(house):
    admin, stranger = house.key("admin"), house.key("admin", "another house")
    own = house.call(admin, "GET", "/v1/keys").get_json()["items"][0]["id"]
    for role in ("crm", "estimator", "purchasing", "pricing"):
        key = house.key(role)
        assert house.call(key, "GET", "/v1/keys").status_code == 403
        assert house.call(key, "POST", "/v1/keys", json={"role": "admin", "name": "x"}).status_code == 403
    for method, path in (("GET", ""), ("POST", "/rotate"), ("POST", "/revoke")):
        assert house.call(stranger, method, f"/v1/keys/{own}{path}").status_code == 404
    assert len(house.call(stranger, "GET", "/v1/keys").get_json()["items"]) == 1


def test_a_wrong_key_is_refused_with_every_fault(house):
    asked = {"role": "owner", "name": "", "days": 0}
    answer = house.call(house.key("admin"), "POST", "/v1/keys", json=asked)
    assert answer.status_code == 422
    assert {each["pointer"] for each in answer.get_json()["errors"]} == {"/role", "/name", "/days"}
