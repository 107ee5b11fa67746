"""Whole paths of users in a browser: from an empty house to an order list, with scripts and without, on both databases.

SQLite and, where its programs are there, PostgreSQL: the same path on each.
"""

import pytest

from tests import postgres
from tests.references import missing, require_module
from tests.web.browser import (
    PATIENCE,
    WITHOUT_RAILS,
    WORDS,
    House,
    a_browser,
    quote_of_the_sample,
    signed_in,
    version_of,
)


@pytest.fixture(scope="module")
def browser():
    with a_browser() as made:
        yield made


@pytest.fixture(scope="module")
def house(tmp_path_factory):
    made = House(tmp_path_factory.mktemp("house")).start()
    yield made
    made.stop()


@pytest.fixture(scope="module")
def on_postgresql(tmp_path_factory):
    if postgres.programs() is None:
        missing("postgresql")
    require_module("psycopg")
    with postgres.running() as address:
        made = House(tmp_path_factory.mktemp("postgresql"), ESTIMATOR_DATABASE_URL=address).start()
        yield made
        made.stop()


@pytest.fixture(scope="module")
def people(house):
    return {"estimator": house.person("estimator@example.com")}


@pytest.mark.parametrize("scripts", [True, False], ids=["with scripts", "scripts off"])
def test_from_an_invitation_to_an_order_list(house, browser, scripts):
    _from_an_invitation_to_an_order_list(house, browser, scripts)


def test_the_same_path_on_postgresql(on_postgresql, browser):
    _from_an_invitation_to_an_order_list(on_postgresql, browser, scripts=True)


def _from_an_invitation_to_an_order_list(house, browser, scripts):
    name = f"path{int(scripts)}"
    invitation = house.run("people", "invite", f"{name}@example.com", "--name", "Nora Path", "--role", "admin").strip()
    view = browser.new_context(java_script_enabled=scripts)
    view.set_default_timeout(PATIENCE)
    page = view.new_page()
    page.goto(house.base + invitation)
    page.fill("#password", WORDS)
    page.fill("#again", WORDS)
    page.click("main button")
    assert "Nora Path" in page.inner_text("header")
    page.click("a:has-text('Jobs') >> nth=0")
    page.click("text=Begin with the sample job")
    page.fill("[name=reference]", f"PATH-{int(scripts)}")
    page.fill("[name='roofs/0/arrays/0/columns']", "8")
    if not scripts:
        page.click("form#job button[value=look]:not(.unseen)")
    page.wait_for_selector("svg[data-modules='22']")
    page.click("form#job button[value=quote]")
    page.wait_for_selector("text=Prepared by")
    assert "Nora Path" in page.inner_text("dl.facts >> nth=0")
    page.click("text=Issue the quote")
    page.click("text=The customer accepted")
    page.wait_for_selector("text=Order it")
    assert "accepted" in page.inner_text("dl.facts >> nth=0")
    number = page.inner_text("h1").split(" ")[0]
    page.click("text=Order it")
    assert page.is_checked(f"[aria-label='Order {number}']")
    page.click("text=Make order lists")
    page.wait_for_selector("text=Papers of the whole order")
    assert number in page.inner_text("main") and "Nora Path" in page.inner_text("main")
    view.close()


@pytest.mark.parametrize(("script", "path", "field", "typed", "follows"), [
    ("job", "/jobs/new?from=sample", "roofs/0/arrays/0/columns", "8", "svg[data-modules='22']"),
    ("adjust", "adjust", "margin", "31", "#effect >> text=Margin"),
])  # fmt: skip
def test_what_is_typed_before_the_script_has_come_is_met_when_it_comes(
    house, browser, people, script, path, field, typed, follows
):
    if path == "adjust":
        path = quote_of_the_sample(people["estimator"], "PATH-EARLY") + "/adjust"
    with signed_in(browser, people["estimator"]) as page:
        held = []

        def hold(route):  # a bound method of a list would not do: the driver marks what it is given
            held.append(route)

        page.route(f"**/{script}.js*", hold)
        page.goto(page.base + path, wait_until="commit")
        page.fill(f"[name='{field}']", typed)
        page.wait_for_function("document.readyState === 'interactive'")
        held.pop().continue_()
        page.wait_for_selector(follows)


def test_the_plan_tells_what_pointer_and_arrow_keys_are_on_and_a_check_lights_its_place(house, browser, people):
    address = quote_of_the_sample(people["estimator"], "PATH-PLAN")
    with signed_in(browser, people["estimator"]) as page:
        page.goto(page.base + address)
        page.focus("svg.roof-plan")
        page.keyboard.press("ArrowRight")
        page.wait_for_selector(".plan-told:has-text('row 1, column 1')")
        page.keyboard.press("ArrowRight")
        assert "row 1, column 2" in page.inner_text(".plan-told")
        page.keyboard.press("a")
        page.wait_for_selector(".plan-told:has-text('Attachment 1')")
        assert "used to" in page.inner_text(".plan-told")
        before = page.get_attribute("svg.roof-plan", "viewBox")
        page.keyboard.press("+")
        assert page.get_attribute("svg.roof-plan", "viewBox") != before
        page.keyboard.press("Home")
        assert page.get_attribute("svg.roof-plan", "viewBox") == before
        page.hover("svg.roof-plan .layer.modules", position={"x": 20, "y": 20})
        assert page.inner_text(".plan-told")
        page.click("summary:has-text('Layers')")
        page.uncheck("[data-layer=ribs]")
        assert not page.is_visible("svg.roof-plan .layer.ribs")
        spots = page.query_selector_all(".spot:not([hidden])")
        if spots:
            spots[0].click()
            assert page.query_selector("svg.roof-plan .lit")
        assert page.evaluate("[...document.querySelectorAll('svg [tabindex]')].length") == 0


def test_a_job_is_drawn_anew_as_one_types_and_changed_on_its_plan(house, browser, people):
    """Cells are clicked, an array dragged and snapped, a skylight drawn; faults stand at their fields."""
    with signed_in(browser, people["estimator"], height=1400) as page:
        page.goto(page.base + "/jobs/new?from=sample")
        with page.expect_response("**/jobs/draw") as drawn:
            page.fill("[name='roofs/0/arrays/0/rows']", "2")
        assert drawn.value.ok
        page.wait_for_selector("svg[data-modules='18']")
        cell = lambda at: page.evaluate(AT_CELL, at)  # noqa: E731
        with page.expect_response("**/jobs/draw"):
            page.mouse.click(*cell(0))
        page.wait_for_selector("svg[data-modules='17']")
        assert page.input_value("[name='roofs/0/arrays/0/omit']").split()[-1] == "1/1"
        with page.expect_response("**/jobs/draw"):
            page.mouse.click(*cell(0))
        page.wait_for_selector("svg[data-modules='18']")
        page.check("#snap")
        x, y = cell(3)
        page.mouse.move(x, y)
        page.mouse.down()
        page.mouse.move(x + 31, y, steps=5)
        with page.expect_response("**/jobs/draw"):
            page.mouse.up()
        moved = float(page.input_value("[name='roofs/0/arrays/0/x']").removesuffix(" mm"))
        assert moved != 2000 and (moved - 125) % 250 == 0
        page.click("summary:has-text('Skylight')")
        page.click("text=Draw it on the plan")
        x, y = cell(4)
        page.mouse.move(x, y)
        page.mouse.down()
        page.mouse.move(x + 12, y + 12, steps=3)
        page.mouse.up()
        assert page.input_value("[name='new/0/width']").endswith(" mm")
        page.fill("[name='new/0/clearance']", "50")
        page.click("text=Add it and remove the modules")
        page.wait_for_load_state()
        assert int(page.get_attribute("#sketch svg", "data-modules")) < 18
        with page.expect_response("**/jobs/draw"):
            page.fill("[name='roofs/0/slope']", "steep")
        page.wait_for_selector("#roofs-0-slope-fault:not(:empty)")
        assert page.get_attribute("[name='roofs/0/slope']", "aria-invalid") == "true"


AT_CELL = """(at) => {
  const svg = document.querySelector("#sketch svg.roof-plan");
  const cell = JSON.parse(document.querySelector(".sketched").dataset.cells)[at];
  const point = new DOMPoint((cell[0] + cell[2]) / 2, Number(svg.dataset.height) - (cell[1] + cell[3]) / 2);
  const seen = point.matrixTransform(svg.getScreenCTM());
  return [seen.x, seen.y];
}"""


def test_the_effect_of_a_change_is_there_as_one_types_and_nothing_is_stored(house, browser, people):
    visitor = people["estimator"]
    address = quote_of_the_sample(visitor, "PATH-EFFECT")
    with signed_in(browser, visitor) as page:
        page.goto(page.base + address + "/adjust")
        page.fill("[name=margin]", "45")
        page.wait_for_selector("#effect >> text=Margin")
        page.fill("[name=margin]", "lots")
        page.wait_for_selector("#effect [role=alert]")
        page.goto(page.base + address)
        assert page.locator("section:has(#history-head) tbody tr").count() == 1


def test_two_people_on_one_quote_lose_nothing(house, people):
    """Both issue what they saw: the second is told; both revise: two revisions stand."""
    one = people["estimator"]
    address = quote_of_the_sample(one, "PATH-TWO")
    version = version_of(one, address)
    first = one.send(f"{address}/adjust", {"do": "save", "margin": "40"}, on=f"{address}/adjust")
    second = one.send(f"{address}/adjust", {"do": "save", "margin": "30"}, on=f"{address}/adjust")
    assert first.headers["Location"] != second.headers["Location"]
    assert one.send(f"{address}/issue", {"version": version}, on=address).status_code == 303
    assert one.send(f"{address}/issue", {"version": version}, on=address).status_code == 412


def test_from_options_to_a_changed_order_with_scripts_off(house, browser, people):
    """Adjusted with its effect looked at, option B accepted, ordered; revised, and the order changed by suppliers."""
    boss = house.person("all@example.com", "admin")
    address = quote_of_the_sample(boss, "PATH-CHANGE")
    with signed_in(browser, boss, scripts=False) as page:
        page.set_default_timeout(40_000)
        page.goto(page.base + address)
        page.click("text=Adjust and revise")
        page.fill("[name=margin]", "35")
        page.click("summary:has-text('Further options')")
        page.fill("[name='options/0/title']", "In steel")
        page.select_option("[name='options/0/material']", "steel")
        page.click("text=Show the effect")
        assert "Total before tax" in page.inner_text("#effect")
        page.click("text=Make a revision")
        assert "In steel" in page.inner_text("section:has(#quoted-head)")
        _issued_accepted_and_ordered(page, option="B")
        steel = page.inner_text("main")
        order = page.url
        page.click("dl.facts a[href^='/quotes/']")
        page.click("text=Adjust and revise")
        page.check("[name='line/0/struck']")
        page.fill("[name='line/0/reason']", "bought elsewhere")
        page.click("text=Make a revision")
        assert "An earlier revision was ordered" in page.inner_text("main")
        for field in page.query_selector_all("main input[name=reason]"):
            field.fill("the customer asked for it")
        _issued_accepted_and_ordered(page, option="B", delivered=True)
        assert "quantities and costs are differences" in page.inner_text("main")
        assert page.locator("td .mark:has-text('returned')").count() > 0
        assert page.inner_text("main") != steel
        page.click(f"a[href='{order.removeprefix(page.base)}']")
        assert page.url == order and page.locator("dl.facts a[href^='/orders/']").count() == 1


def _issued_accepted_and_ordered(page, option, delivered=False):
    page.click("text=Issue the quote")
    page.select_option("#option", option)
    page.click("text=The customer accepted")
    assert "accepted" in page.inner_text("dl.facts >> nth=0")
    page.click("a.button[href^='/orders/new']")
    for box in page.query_selector_all("[name=delivered]"):
        if delivered:
            box.check()
    page.click("text=Make order lists")


def test_a_large_roof_is_read_by_keyboard_part_by_part(house, browser, people):
    """Of a roof drawn by rows 40 m are asked for at once, and further ones as the keyboard gets near their edge."""
    large = {
        "roofs/0/eave_length": "120 m", "roofs/0/slope_length": "70 m", "roofs/0/arrays/0/rows": "35",
        "roofs/0/arrays/0/columns": "90", "roofs/0/arrays/0/omit": "", "roofs/0/obstructions/0/x": "110 m",
        "site/loads/building/length": "120 m", "site/loads/building/width": "140 m",
    }  # fmt: skip
    quote = quote_of_the_sample(people["estimator"], "LARGE-1", {**WITHOUT_RAILS, **large})
    with signed_in(browser, people["estimator"]) as page:
        asked = []
        page.on("request", lambda each: asked.append(each.url.partition("window=")[2]) if "facts" in each.url else None)
        page.goto(page.base + quote)
        assert page.get_attribute("svg.roof-plan", "data-coarse") == "1"
        page.focus("svg.roof-plan")
        page.keyboard.press("ArrowRight")
        page.wait_for_selector(".plan-told:has-text('row 1, column 1;')")
        x0, _, x1, _ = map(float, asked[0].split(","))
        assert len(asked) == 1 and x1 - x0 == 40_000
        for column in range(2, 41):
            page.keyboard.press("ArrowRight")
            page.wait_for_selector(f".plan-told:has-text('row 1, column {column};')")
        assert 1 < len(asked) < 8
