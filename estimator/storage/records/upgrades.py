"""How records of older versions become records of today: one step for each tag and version that was ever stored.

A step takes the fields of one version, by name, and gives the tag and the fields of the next; the codec takes steps
until it stands at a tag of ``tags.RECORDS``. What stands in the fields is made already: inner records are those
of today. Most steps are made of the parts below:

    "array/1": to("array/2", changed("omit", _counted_from_one)),
    "rail/1": to("rail/2", changed("arrangements", _arrangements_renamed)),
    "tax/1": to("tax/2", added(exemption="")),
    "mounting/1": to("mounting/2", renamed(rail="profile"), dropped("stagger")),

A record that becomes one of several (loads: one record for each standard) has a step of its own, a function from
fields to tag and fields; so has one whose new field is made of several old ones. What an inner record cannot know (a
roof that only the outer one names) is corrected in the outer one's step, by ``dataclasses.replace``. Never change or
remove a step once a version with it is out: bytes of that version are in databases. Sentences are not reworded here:
they stay as they were said, and documents find the old templates in a table of rewritten ones.

Choices and jobs as they were posted are JSON columns, not records; a migration of the tables converts those.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from decimal import Decimal
from typing import Any

from estimator.arrangements import OLDER_WORDS
from estimator.job import Address
from estimator.pricebook import NO_TERMS, POINTS
from estimator.site_loads import Building
from estimator.storage.records import clauses_in_words, places_in_words

_MPH_M_S = 0.44704

Fields = dict[str, Any]
Change = Callable[[Fields], Fields]
Step = Callable[[Fields], tuple[str, Fields]]


def to(tag: str, *changes: Change) -> Step:
    """A step to that tag and version, its changes made one after the other.

    >>> to("array/2", renamed(name="title"), added(note=""))({"name": "A"})
    ('array/2', {'title': 'A', 'note': ''})
    """

    def step(fields: Fields) -> tuple[str, Fields]:
        for change in changes:
            fields = change(fields)
        return tag, fields

    return step


def added(**values: Any) -> Change:
    """Fields that did not exist, with the value that says as much as was said without them."""
    return lambda fields: {**fields, **values}


def renamed(**names: str) -> Change:
    """Fields by their old names, and the new ones."""
    return lambda fields: {names.get(name, name): value for name, value in fields.items()}


def dropped(*names: str) -> Change:
    """Fields that exist no longer."""
    return lambda fields: {name: value for name, value in fields.items() if name not in names}


def changed(name: str, change: Callable[[Any], Any]) -> Change:
    """A field that stays, with its value read another way.

    >>> changed("row", lambda row: row + 1)({"row": 0, "column": 4})
    {'row': 1, 'column': 4}
    """
    return lambda fields: {**fields, name: change(fields[name])}


_BY_STANDARD = {
    "en1991": (
        "loads_by_en1991/1",
        ("wind_speed_m_s", "terrain", "altitude_mm", "ground_snow_pa", "snow_exposure", "thermal_factor",
         "snow_retained", "effective_area", "temperature_range_k", "factors"),
    ),
    "asce7": (
        "loads_by_asce7/1",
        ("standard", "method", "exposure", "ground_elevation_mm", "topographic_factor", "risk_category", "enclosure",
         "velocity_factor", "ground_snow_pa", "snow_exposure", "thermal_factor", "slippery", "effective_area",
         "temperature_range_k", "factors"),
    ),
    "given": ("loads_given/1", ("method", "temperature_range_k")),
}  # fmt: skip


def _loads_by_standard(fields: Fields) -> tuple[str, Fields]:
    """One record for all standards becomes that of its own; what another standard would have read is left behind."""
    standard = fields["standard"]
    tag, names = _BY_STANDARD[standard.partition("-")[0]]
    made = {name: fields[name] for name in names}
    made["building"] = Building(
        fields["mean_roof_height_mm"],
        fields["eave_height_mm"],
        fields["roof_form"],
        fields["building_length_mm"],
        fields["building_width_mm"],
    )
    if standard == "en1991":
        made["terrain"] = fields["terrain"] or fields["exposure"]
    elif standard == "given":
        made["pressures"] = fields["given"]
    else:
        speed = fields["wind_speed_m_s"]
        made["wind_speed_mph"] = None if speed is None else round(speed / _MPH_M_S, 9)
    return tag, made


def _arrangement(word: Any) -> Any:
    return OLDER_WORDS.get(word, word)


def _arrangements(words: frozenset[str]) -> frozenset[str]:
    return frozenset(_arrangement(word) for word in words)


def _heights(heights: Mapping[str, float]) -> Mapping[str, float]:
    return {_arrangement(word): height for word, height in heights.items()}


def _choice(fields: Fields) -> Fields:
    """The choice of an arrangement, with what else was tried."""
    if fields["subject"] != "arrangement":
        return fields
    tried = tuple(replace(each, option=_arrangement(each.option)) for each in fields["alternatives"])
    return {**fields, "chosen": _arrangement(fields["chosen"]), "alternatives": tried}


def _side(fields: Fields) -> Fields:
    """One way to build the job, where the ways are arrangements."""
    if fields["subject"] != "arrangement":
        return fields
    return {**fields, "option": _arrangement(fields["option"])}


STEPS: dict[str, Step] = {
    "alternative/1": to("alternative/2", places_in_words.errors),
    "alternative/2": to("alternative/3", added(not_planned=None)),
    "attachment_check/1": to("attachment_check/2", added(uplift_n=None, downward_n=None, along_most_n=None)),
    "array/1": to("array/2", added(wider_gaps=())),
    "mounting_choice/2": to("mounting_choice/3", added(expansion_splice=None)),
    "attachment_capacity/1": to("attachment_capacity/2", added(load_height_mm=0.0)),
    "attachment_strength/2": to("attachment_strength/3", changed("source", clauses_in_words.clause_in)),
    "load_step/1": to("load_step/2", clauses_in_words.step),
    "zone_sheet/1": to(
        "zone_sheet/2", clauses_in_words.cases("governing_uplift", "governing_downward", "governing_along")
    ),
    "zone_span/1": to("zone_span/2", clauses_in_words.cases("uplift_combination", "downward_combination")),
    "attachment_strength/1": to("attachment_strength/2", added(tested_height_mm=None)),
    "clamp/2": to("clamp/3", added(characteristic_n=None, results_n=())),
    "rail/2": to("rail/3", added(weak_inertia_mm4=None, weak_section_modulus_mm3=None)),
    "splice_part/2": to(
        "splice_part/3",
        added(
            moment_n_mm=None,
            shear_n=None,
            moment_characteristic_n_mm=None,
            shear_characteristic_n=None,
            safety_factor=None,
            resistance_factor=None,
        ),
    ),
    "roof_strength/1": to("roof_strength/2", added(weak_moment_n_mm=float("inf"), weak_stiffness_n_mm2=float("inf"))),
    "span_check/1": to("span_check/2", added(weak_moment_n_mm=0.0, weak_deflection_mm=0.0)),
    "strength_test/1": to(
        "strength_test/2", added(characteristic_n=None, arrangement=None, rail_direction=None, load_height_mm=None)
    ),
    "splice_part/1": to("splice_part/2", added(least_gap_mm=None)),
    "book/1": to("book/2", added(locale=POINTS)),
    "book/2": to("book/3", added(quote_terms=NO_TERMS)),
    "customer/1": to("customer/2", added(tax_number="", tax_exemption="")),
    "tax/1": to("tax/2", added(number_name="", category="S", rules=(), relieved=())),
    "wishes/2": to("wishes/3", added(prepared_by="", options=(), alternates=())),
    "book_defaults/1": to("book_defaults/2", added(order_factor_max=Decimal(3))),
    "bracket/1": to("bracket/2", changed("heights_mm", _heights)),
    "check_override/1": to("check_override/2", places_in_words.override),
    "check_override/2": to("check_override/3", added(option="")),
    "choice/1": to("choice/2", _choice),
    "clamp/1": to("clamp/2", changed("arrangements", _arrangements)),
    "common_cut/1": to("common_cut/2", places_in_words.common_cut),
    "comparison/1": to("comparison/2", added(basis="")),
    "cut_plan/1": to("cut_plan/2", places_in_words.cut_plan),
    "cut_plan/2": to("cut_plan/3", added(kept="none")),
    "estimate/2": to("estimate/3", renamed(wishes="choices", choices="decisions")),
    "estimate/1": to("estimate/2", places_in_words.estimate),
    "finding/1": to("finding/2", places_in_words.finding),
    "loaded_line/1": to("loaded_line/2", added(reversed_mm=0.0)),
    "order_line/1": to("order_line/2", added(stands=())),
    "offer/1": to("offer/2", added(options=())),
    "priced_bill/1": to("priced_bill/2", added(alternates=())),
    "order_line/2": to("order_line/3", added(before=None, before_cost=None, change="")),
    "order_line/3": to("order_line/4", added(share_changes=())),
    "order_line/4": to("order_line/5", added(stock_before=0)),
    "order_line/5": to("order_line/6", added(sawn=())),
    "order_lists/1": to("order_lists/2", added(from_stock=None)),
    "order_lists/2": to("order_lists/3", added(offcuts=())),
    "supplier/1": to("supplier/2", added(language="", units=None)),
    "quote_site/1": to("quote_site/2", added(notes="")),
    "order_list/3": to("order_list/4", added(changes=())),
    "order_list/1": to("order_list/2", added(locale=POINTS)),
    "load_report/1": to("load_report/2", added(splices=())),
    "array/2": to("array/3", added(wider_row_gaps=())),
    "rail_run/3": to("rail_run/4", added(wide_gaps=0)),
    "order_list/2": to("order_list/3", added(ship_place=Address(), sites=())),
    "rail_run/2": to("rail_run/3", added(reversed_mm=0.0, part=0, joined=False)),
    "loads_by_en1991/1": to("loads_by_en1991/2", added(annex="recommended")),
    "loads/1": _loads_by_standard,
    "mounting/1": to("mounting/2", changed("arrangement", _arrangement)),
    "mounting/2": to("mounting/3", added(spans_given_by="")),
    "mounting_choice/1": to("mounting_choice/2", changed("arrangement", _arrangement)),
    "rail/1": to("rail/2", changed("arrangements", _arrangements)),
    "rail_run/1": to("rail_run/2", places_in_words.run),
    "roof/1": to("roof/2", added(purlins=None)),
    "rule_condition/1": to("rule_condition/2", changed("arrangements", _arrangements)),
    "run_refused/1": to("run_refused/2", places_in_words.run),
    "side/1": to("side/2", _side, places_in_words.errors),
    "spacing_limits/1": to("spacing_limits/2", places_in_words.limits),
    "wishes/1": to("wishes/2", changed("arrangement", _arrangement)),
    "zone_use/1": to("zone_use/2", places_in_words.zone_use),
}
"""The step from each tag and version that is no longer written."""
