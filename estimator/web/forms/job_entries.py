"""The fields of a job's form, in the order a job is talked about: who, where, which module, which roof, how mounted."""

from __future__ import annotations

from estimator.documents.language.texts import mark
from estimator.documents.language.words import ARRANGEMENTS
from estimator.loads.en1991.annexes import ANNEXES
from estimator.sentences import LANGUAGES
from estimator.web.forms.entries import FormEntry
from estimator.web.forms.rows import RowsEntry

NONE = ("", mark("not given"))
TOOL = ("", mark("the tool chooses"))
LENGTH = ("mm", "in")
ROOF_LENGTH = ("mm", "ft")
NATIONAL = tuple((name, numbers.title) for name, numbers in ANNEXES.items() if numbers.title)


def _length(path: str, label: str, units: tuple[str, str] = LENGTH) -> FormEntry:
    return FormEntry(path, label, "quantity", "length", units)


def _address(base: str) -> tuple[FormEntry, ...]:
    return (
        FormEntry(f"{base}/lines", mark("Street and number"), "lines"),
        FormEntry(f"{base}/postcode", mark("Postcode")),
        FormEntry(f"{base}/city", mark("Town")),
        FormEntry(f"{base}/region", mark("State or province")),
        FormEntry(f"{base}/country", mark("Country (two letters, such as US)")),
    )


JOB = (
    FormEntry("reference", mark("Your reference for the job")),
    FormEntry("title", mark("What papers call the job")),
    FormEntry("language", mark("Language of its papers"), "choice",
          choices=(NONE, *LANGUAGES.items())),
    FormEntry("display_units", mark("Units of its papers"), "choice",
          choices=(NONE, ("metric", mark("metric")), ("us", mark("feet and inches")),
                   ("both", mark("both side by side")))),
    FormEntry("notes", mark("Notes for the readers of the job"), "long", wide=True),
)  # fmt: skip
CUSTOMER = (
    FormEntry("customer/name", mark("Customer's name")),
    FormEntry("customer/contact", mark("Contact")),
    FormEntry("customer/email", mark("E-mail")),
    FormEntry("customer/tier", mark("Discount tier of the pricebook")),
    FormEntry("customer/tax_number", mark("Tax number")),
    FormEntry("customer/tax_exemption", mark("What exempts from tax, such as a certificate")),
    *_address("customer/address"),
)
SITE = (
    *_address("site/address"),
    FormEntry("site/needed_on", mark("Material needed on site on"), "date"),
    FormEntry("site/freight_zone", mark("Freight zone of the pricebook")),
)
LOADS = (
    FormEntry("site/loads/standard", mark("Loads by"), "choice", choices=(
        NONE, ("asce7-16", "ASCE 7-16"), ("asce7-22", "ASCE 7-22"), ("en1991", "EN 1991"),
        ("given", mark("given by an engineer")))),
    FormEntry("site/loads/wind_speed", mark("Wind speed"), "quantity", "speed", ("m/s", "mph")),
    FormEntry("site/loads/exposure", mark("Exposure (ASCE 7)"), "choice",
          choices=(NONE, *((each, each) for each in ("B", "C", "D")))),
    FormEntry("site/loads/terrain", mark("Terrain category (EN 1991)"), "choice",
          choices=(NONE, *((each, each) for each in ("0", "I", "II", "III", "IV")))),
    FormEntry("site/loads/roof_form", mark("Form of the roof"), "choice", choices=(
        NONE, ("flat", mark("flat")), ("gable", mark("gable")), ("hip", mark("hip")),
        ("monoslope", mark("monoslope")))),
    _length("site/loads/mean_roof_height", mark("Mean height of the roof"), ROOF_LENGTH),
    _length("site/loads/eave_height", mark("Height of the eave"), ROOF_LENGTH),
    _length("site/loads/building/length", mark("Length of the building"), ROOF_LENGTH),
    _length("site/loads/building/width", mark("Width of the building"), ROOF_LENGTH),
    FormEntry("site/loads/ground_snow", mark("Snow on the ground"), "quantity", "pressure", ("kPa", "psf")),
    _length("site/loads/altitude", mark("Height above the sea (EN 1991)"), ("m", "ft")),
    FormEntry("site/loads/risk_category", mark("Risk category (ASCE 7)"), "choice",
          choices=(NONE, *((each, each) for each in ("I", "II", "III", "IV")))),
    FormEntry("site/loads/enclosure", mark("Enclosure (ASCE 7)"), "choice", choices=(
        NONE, ("enclosed", mark("enclosed")), ("partially_enclosed", mark("partially enclosed")),
        ("partially_open", mark("partially open")), ("open", mark("open")))),
)  # fmt: skip
YES_NO = (NONE, ("yes", mark("yes")), ("no", mark("no")))
FURTHER_LOADS = (
    FormEntry("site/loads/method", mark("Design method (ASCE 7)"), "choice",
          choices=(NONE, ("asd", mark("allowable stress (ASD)")), ("lrfd", mark("strength (LRFD)")))),
    FormEntry("site/loads/effective_area", mark("Wind area that counts (ASCE 7)"), "choice",
          choices=(NONE, ("module", mark("a module's")), ("attachment", mark("an attachment's")))),
    FormEntry("site/loads/velocity_factor", mark("Velocity pressure coefficient (ASCE 7)"), "choice",
          choices=(NONE, ("table", mark("from the table")), ("formula", mark("from the formula")))),
    FormEntry("site/loads/topographic_factor", mark("Topographic factor (ASCE 7)"), "real"),
    _length("site/loads/ground_elevation", mark("Height of the ground above the sea (ASCE 7)"), ("m", "ft")),
    FormEntry("site/loads/snow_exposure", mark("Exposure for snow"), "choice", choices=(
        NONE, ("fully", mark("fully exposed (ASCE 7)")), ("partially", mark("partially exposed (ASCE 7)")),
        ("sheltered", mark("sheltered")), ("windswept", mark("windswept (EN 1991)")),
        ("normal", mark("normal (EN 1991)")))),
    FormEntry("site/loads/thermal_factor", mark("Thermal factor for snow"), "real"),
    FormEntry("site/loads/slippery", mark("Snow can slide off (ASCE 7)"), "yes_no", choices=YES_NO),
    FormEntry("site/loads/snow_retained", mark("Something keeps snow from sliding (EN 1991)"), "yes_no",
          choices=YES_NO),
    FormEntry("site/loads/temperature_range", mark("Change of temperature: least; largest"), "list",
          units=("K", "K")),
    FormEntry("site/loads/annex", mark("National annex (EN 1991)"), "choice",
          choices=(NONE, ("recommended", mark("the recommended values")), *NATIONAL)),
    FormEntry("site/loads/factors", mark("Factors of an annex or an engineer, symbol = number on each line"), "named",
          wide=True),
)  # fmt: skip
GIVEN = RowsEntry("site/loads/given", mark("Pressures given by an engineer, zone by zone"), (
    FormEntry("zone", mark("Zone")),
    FormEntry("uplift", mark("Design uplift"), "quantity", "pressure", ("Pa", "psf")),
    FormEntry("downward", mark("Design load towards the roof"), "quantity", "pressure", ("Pa", "psf")),
    FormEntry("along_slope", mark("Design load down the slope"), "quantity", "pressure", ("Pa", "psf")),
), spare=2, most=100)  # fmt: skip
MODULE = (
    FormEntry("module/name", mark("Module")),
    _length("module/length", mark("Long side")),
    _length("module/width", mark("Short side")),
    _length("module/thickness", mark("Thickness of the frame")),
    FormEntry("module/mass", mark("Mass"), "quantity", "mass", ("kg", "lb")),
    FormEntry("module/power", mark("Power"), "quantity", "power", ("W", "W")),
    FormEntry("module/clamping_zone/long_side", mark("Clamps on the long side: from; to"), "list", "length"),
    FormEntry("module/clamping_zone/short_side", mark("Clamps on the short side: from; to"), "list", "length"),
    FormEntry("module/rated_uplift", mark("Rated uplift"), "quantity", "pressure", ("Pa", "psf")),
    FormEntry("module/rated_downward", mark("Rated downward load"), "quantity", "pressure", ("Pa", "psf")),
)
MOUNTING = (
    FormEntry("mounting/arrangement", mark("Arrangement"), "choice", choices=(TOOL, *ARRANGEMENTS.items())),
    FormEntry("mounting/rail_direction", mark("Rails"), "choice", choices=(
        TOOL, ("across_ribs", mark("rails across the ribs")), ("along_ribs", mark("rails along the ribs")))),
    FormEntry("mounting/material", mark("Material"), "choice",
          choices=(TOOL, ("aluminium", mark("aluminium")), ("steel", mark("steel")))),
    FormEntry("mounting/rails_per_row", mark("Rails under each row"), "number_choice",
          choices=(TOOL, ("2", "2"), ("3", "3"))),
    FormEntry("mounting/bracket", mark("Bracket (part number)")),
    FormEntry("mounting/rail", mark("Rail (name)")),
    FormEntry("mounting/stock_lengths", mark("Lengths of bar, with ; between"), "list", "length", LENGTH),
    FormEntry("mounting/clamping_position", mark("Clamps at this share of the module's side"), "real"),
    _length("mounting/rail_overhang", mark("Rail past the last module")),
    FormEntry("mounting/stagger", mark("Neighbouring rails on different ribs"), "yes_no",
          choices=(TOOL, ("yes", mark("yes")), ("no", mark("no")))),
    _length("mounting/max_span", mark("Longest span, from an engineer")),
    _length("mounting/max_cantilever", mark("Longest cantilever, from an engineer")),
    FormEntry("mounting/spans_given_by", mark("Who answers for these spans")),
)  # fmt: skip
ROOF = (
    FormEntry("name", mark("Name of the roof")),
    _length("eave_length", mark("Length along the eave"), ROOF_LENGTH),
    _length("slope_length", mark("Length up the slope"), ROOF_LENGTH),
    FormEntry("slope", mark("Slope"), "quantity", "angle", ("deg", "deg")),
)
RIBS = (
    _length("ribs/spacing", mark("Rib spacing")),
    _length("ribs/first_at", mark("First rib at")),
    _length("ribs/height", mark("Rib height")),
    _length("ribs/crown_width", mark("Crown width")),
    FormEntry("ribs/web_angle", mark("Web angle"), "quantity", "angle", ("deg", "deg")),
)
SHEET = (
    FormEntry("sheet/material", mark("Sheet"), "choice", choices=(
        NONE, ("steel", mark("steel")), ("aluminium", mark("aluminium")),
        ("foam_core_steel", mark("foam-core panel with steel faces")),
        ("foam_core_aluminium", mark("foam-core panel with aluminium faces")))),
    FormEntry("sheet/thickness", mark("Sheet thickness (or gauge, such as 26 ga)"), "sheet", "length", LENGTH),
    FormEntry("sheet/ultimate_strength", mark("Ultimate strength"), "quantity", "strength", ("MPa", "ksi")),
    FormEntry("sheet/yield_strength", mark("Yield strength"), "quantity", "strength", ("MPa", "ksi")),
)  # fmt: skip
PURLINS = (
    _length("purlins/spacing", mark("From purlin to purlin"), ROOF_LENGTH),
    _length("purlins/first_at", mark("First purlin from the eave"), ROOF_LENGTH),
)
KEEP_CLEAR = (
    _length("keep_clear/eave", mark("Kept clear at the eave")),
    _length("keep_clear/ridge", mark("Kept clear at the ridge")),
    _length("keep_clear/left", mark("Kept clear at the left")),
    _length("keep_clear/right", mark("Kept clear at the right")),
)
ARRAY = (
    FormEntry("name", mark("Name of the array")),
    _length("x", mark("Left edge from the left roof edge")),
    _length("y", mark("Lower edge from the eave")),
    FormEntry("rows", mark("Rows"), "whole"),
    FormEntry("columns", mark("Columns"), "whole"),
    FormEntry("orientation", mark("Modules lie"), "choice",
          choices=(NONE, ("portrait", mark("portrait")), ("landscape", mark("landscape")))),
    _length("gap_x", mark("Gap in a row")),
    _length("gap_y", mark("Gap in a column")),
    FormEntry("omit", mark("Cells left out, as row/column"), "cells", wide=True),
)  # fmt: skip
GAPS = RowsEntry("wider_gaps", mark("Wider gaps, where rails are parted"), (
    FormEntry("after_column", mark("After column"), "whole"),
    FormEntry("after_row", mark("or after row"), "whole"),
    _length("width", mark("Width of the gap")),
))  # fmt: skip
OBSTRUCTION = (
    FormEntry("name", mark("What it is")),
    _length("x", mark("Left edge from the left roof edge")),
    _length("y", mark("Lower edge from the eave")),
    _length("width", mark("Size along the eave")),
    _length("height", mark("Size up the slope")),
)
NEW_OBSTRUCTION = (*OBSTRUCTION, _length("clearance", mark("Clearance around it")))
OF_JOB: dict[str, tuple[FormEntry, ...]] = {
    mark("Job"): JOB, mark("Customer"): CUSTOMER, mark("Site"): SITE, mark("Loads"): LOADS,
    mark("Further loads"): FURTHER_LOADS, mark("Module"): MODULE,
}  # fmt: skip
OF_ROOF: dict[str, tuple[FormEntry, ...]] = {
    mark("Roof"): ROOF, mark("Ribs"): RIBS, mark("Sheet"): SHEET, mark("Purlins"): PURLINS,
    mark("Strips kept clear"): KEEP_CLEAR,
}  # fmt: skip
FOLDED = frozenset({"Further loads", "Purlins"})
"""Groups that stay folded while nothing in them is said."""
ROWS_OF_JOB: dict[str, tuple[RowsEntry, ...]] = {"Further loads": (GIVEN,)}
ROWS_OF_ARRAY = (GAPS,)
