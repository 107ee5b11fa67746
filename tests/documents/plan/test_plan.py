"""What is drawn is what is counted, on every roof and in every format."""

import io
import re
from collections import Counter

import ezdxf
import pytest
from lxml import etree

from estimator.documents.drawing.annotations import annotate, scale_bar
from estimator.documents.drawing.plan import plans_of
from estimator.documents.drawing.scale import METRIC, Scale, detail_scale, scale_for, tiles
from estimator.documents.drawing.window import windowed
from estimator.documents.language.texts import reader_for
from estimator.documents.plan.dxf import LAYERS, write_plan_dxf
from estimator.documents.plan.svg import write_plan_svg
from tests.documents.offers import NAMES, a_header, an_offer

METRIC_READER = reader_for("en", "GB", "metric")
COUNTED = ("modules", "rails", "attachments", "splices", "expansion_splices")


def counted(counts):
    return {
        "modules": counts.modules,
        "rails": counts.runs,
        "attachments": counts.attachments,
        "splices": counts.splices,
        "expansion_splices": counts.expansion_splices,
    }


def drawn(plan):
    return {layer: len(getattr(plan, layer)) for layer in COUNTED}


@pytest.mark.parametrize("name", NAMES)
def test_what_is_drawn_is_what_the_takeoff_counts_roof_by_roof(name):
    estimate = an_offer(name).estimate
    plans = plans_of(estimate)
    assert [drawn(plan) for plan in plans] == [counted(roof.counts) for roof in estimate.counts.roofs]


@pytest.mark.parametrize("name", NAMES)
def test_everything_drawn_lies_on_the_roof_and_every_attachment_on_a_rib(name):
    for plan in plans_of(an_offer(name).estimate):
        for x0, y0, x1, y1 in (*plan.modules, *plan.rails):
            assert 0 <= x0 <= x1 <= plan.width_mm
            assert 0 <= y0 <= y1 <= plan.height_mm
        for x, _ in plan.attachments:
            assert min(abs(x - rib) for rib in plan.ribs) < 0.01


def test_the_drawing_lists_its_classes_in_one_order_in_every_process():
    text = write_plan_dxf(an_offer("plain"), a_header()).decode()
    classes = text[text.index("CLASSES") : text.index("TABLES")]
    names = re.findall(r"  0\r?\nCLASS\r?\n  1\r?\n(\S+)", classes)
    assert len(names) > 5
    assert names == sorted(names)


def test_no_module_stands_where_one_was_left_out():
    plan = plans_of(an_offer("long").estimate)[0]
    skylight = plan.obstructions[0].box
    assert not any(
        x0 < skylight[2] and x1 > skylight[0] and y0 < skylight[3] and y1 > skylight[1]
        for x0, y0, x1, y1 in plan.modules
    )


def test_a_splice_is_drawn_on_its_rail():
    plan = plans_of(an_offer("long").estimate)[0]
    assert plan.splices
    for splice in plan.splices:
        assert any(x0 < splice.x < x1 and abs(y0 - splice.y) < 0.01 for x0, y0, x1, _ in plan.rails)


def test_dimensions_add_up_to_the_eave_and_the_slope():
    for plan in plans_of(an_offer("long").estimate):
        for chain in plan.dimensions:
            whole = plan.width_mm if chain.axis == "x" else plan.height_mm
            assert chain.ticks[0] == 0
            assert chain.ticks[-1] == whole
            assert list(chain.ticks) == sorted(chain.ticks)


def test_the_eave_dimension_of_a_plain_job_worked_by_hand():
    # 1000 to the array, 3 modules of 1000 and 2 gaps of 20 make 3040, 12000 less both leave 7960
    plan = plans_of(an_offer("plain").estimate)[0]
    labels = {label.text.replace("\u00a0", " ") for label in annotate(plan, 50.0, METRIC_READER).labels}
    assert {"1,000 mm", "3,040 mm", "7,960 mm", "12,000 mm", "500 mm", "3,420 mm", "2,080 mm", "6,000 mm"} <= labels


@pytest.mark.parametrize(("wide", "high"), [(12_000, 6_000), (250_000, 170_000), (3_000, 90_000), (500, 400)])
def test_a_scale_is_the_largest_usual_one_that_fits(wide, high):
    scale = scale_for(wide, high, 230, 130, "metric").denominator
    assert wide / scale <= 230
    assert high / scale <= 130
    larger = [d for d in METRIC if d < scale]
    assert not larger or wide / larger[-1] > 230 or high / larger[-1] > 130


def test_further_sheets_show_every_attachment_and_every_module_once_or_cut():
    plan = plans_of(an_offer("long").estimate)[0]
    parts = tiles(plan, 60, 40, Scale(100, "1:100"))
    shown = [windowed(plan, tile.window) for tile in parts]
    assert len(parts) > 4
    assert len({tile.name for tile in parts}) == len(parts)
    assert Counter(point for part in shown for point in part.attachments) == Counter(plan.attachments)
    assert Counter(each for part in shown for each in part.splices) == Counter(plan.splices)
    assert {box for part in shown for box in part.modules} == set(plan.modules)
    lengths = sum(x1 - x0 for part in shown for x0, _, x1, _ in part.rails)
    assert lengths == pytest.approx(sum(x1 - x0 for x0, _, x1, _ in plan.rails), rel=1e-9)


def test_a_small_roof_needs_no_further_sheets():
    plan = plans_of(an_offer("plain").estimate)[0]
    assert detail_scale(plan, Scale(100, "1:100"), "metric") is None
    assert detail_scale(plan, Scale(1000, "1:1000"), "metric").denominator == 150


@pytest.mark.parametrize(
    ("paper", "units", "text"), [(50.0, "metric", "1 m"), (1000.0, "metric", "20 m"), (96.0, "us", "10 ft")]
)
def test_a_scale_bar_has_a_round_length(paper, units, text):
    assert scale_bar(paper, reader_for("en", "US", units)).text == text


def svg_of(name):
    return etree.fromstring(write_plan_svg(an_offer(name), a_header()))


SVG = {"s": "http://www.w3.org/2000/svg"}


@pytest.mark.parametrize("name", NAMES)
def test_the_svg_states_and_draws_the_takeoffs_counts(name):
    groups = svg_of(name).xpath("//s:g[@data-modules]", namespaces=SVG)
    for group, roof in zip(groups, an_offer(name).estimate.counts.roofs, strict=True):
        for layer, count in counted(roof.counts).items():
            css = layer.replace("_", "-")
            assert int(group.get(f"data-{css}")) == count
            paths = group.xpath(f"s:path[@class='{css}']", namespaces=SVG)
            assert sum(path.get("d").count("M") for path in paths) == count
            assert len(paths) == (1 if count else 0)


@pytest.mark.parametrize("name", NAMES)
def test_the_svg_says_in_words_what_it_shows(name):
    root = svg_of(name)
    assert root.get("role") == "img"
    named = root.get("aria-labelledby").split()
    assert [root.xpath(f"//*[@id='{each}']")[0].text for each in named]
    counts = an_offer(name).estimate.counts.roofs[0].counts
    assert f"modules: {counts.modules}" in root.findtext("s:desc", namespaces=SVG)
    for path in root.xpath("//s:g/s:path[@class]", namespaces=SVG):
        assert path.findtext("s:title", namespaces=SVG)


def test_the_svg_carries_markup_as_text_only():
    root = svg_of("payloads")
    names = {etree.QName(each).localname for each in root.iter()}
    assert names <= {"svg", "title", "desc", "rect", "g", "path", "text"}
    assert "<script>" in " ".join(root.itertext()) or "<b>bold</b>" in " ".join(root.itertext())
    assert not any(key.startswith("on") for each in root.iter() for key in each.attrib)


def test_the_svg_of_the_same_offer_is_the_same():
    assert write_plan_svg(an_offer("long"), a_header()) == write_plan_svg(an_offer("long"), a_header())


def test_the_svg_stands_in_the_readers_language():
    root = etree.fromstring(write_plan_svg(an_offer("long"), a_header(language="de")))
    words = " ".join(root.itertext())
    assert "Traufe" in words
    assert "Befestigungen" in words
    assert "eave" not in words


def dxf_of(name):
    return ezdxf.read(io.StringIO(write_plan_dxf(an_offer(name), a_header()).decode()))


@pytest.mark.parametrize("name", NAMES)
def test_the_dxf_audits_clean_in_millimetres_and_counts_what_the_takeoff_counts(name):
    document = dxf_of(name)
    audit = document.audit()
    assert not audit.errors
    assert not audit.fixes
    assert document.units == ezdxf.units.MM
    found = Counter(entity.dxf.layer for entity in document.modelspace())
    totals = counted(an_offer(name).estimate.counts.counts)
    assert {layer: found[LAYERS[layer]] for layer in COUNTED} == totals


def test_the_dxf_is_drawn_at_true_size():
    modules = dxf_of("plain").modelspace().query('LWPOLYLINE[layer=="MODULES"]')
    sizes = set()
    for module in modules:
        points = [(x, y) for x, y, *_ in module.get_points()]
        xs, ys = zip(*points, strict=True)
        sizes.add((round(max(xs) - min(xs), 6), round(max(ys) - min(ys), 6)))
    assert sizes == {(1000.0, 1700.0)}


def test_the_dxf_of_the_same_offer_is_the_same():
    assert write_plan_dxf(an_offer("long"), a_header()) == write_plan_dxf(an_offer("long"), a_header())


def test_a_text_in_the_dxf_holds_no_codes_of_a_cad_program():
    texts = [entity.dxf.text for entity in dxf_of("payloads").modelspace().query("TEXT")]
    assert texts
    assert not any(re.search(r"%%|\^[A-Za-z]|[\x00-\x1f]", text) for text in texts)


def test_load_zones_are_drawn_as_the_loads_name_them():
    estimate = an_offer("loaded").estimate
    (plan,) = plans_of(estimate)
    (roof,) = estimate.loads.roofs
    assert {zone.name for zone in plan.zones} == {zone.zone for zone in roof.sheet.zones}
    assert len(plan.zones) == sum(len(zone.polygons) for zone in roof.sheet.zones)
    for zone in plan.zones:
        xs, ys = zip(*zone.polygon, strict=True)
        for x, y in zone.points:
            assert min(xs) <= x <= max(xs)
            assert min(ys) <= y <= max(ys)


def test_a_job_that_gives_its_spans_has_no_zones_to_draw():
    (plan,) = plans_of(an_offer("given").estimate)
    assert plan.zones == ()


def test_no_two_entities_of_the_dxf_share_a_handle_and_the_next_one_is_free():
    text = write_plan_dxf(an_offer("long"), a_header()).decode()
    handles = [int(each, 16) for each in re.findall(r"^  5\n([0-9A-F]+)$", text, re.MULTILINE)]
    assert len(set(handles)) == len(handles)
    seed = int(re.search(r"\$HANDSEED\n  5\n([0-9A-F]+)", text)[1], 16)
    assert seed >= max(handles)
