"""The loads of a job: every pressure with its factors and clauses, every span with what governs it.

Signs: uplift negative, downward positive, down the slope positive. ``own`` is in the standard's own unit.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, ClassVar

from estimator.attachment.load_report import LoadReport, RoofLoads
from estimator.attachment.under_load.records import (
    AttachmentCheck,
    FieldCheck,
    LineCheck,
    ZoneSpan,
    ZoneUse,
)
from estimator.contract.answers.fields import (
    ByName,
    Each,
    Finite,
    Number,
    NumberOrText,
    One,
    OneWord,
    PlaceTold,
    Truth,
    Values,
    Whole,
    Words,
    numbers,
)
from estimator.contract.answers.offer.strengths import SpliceCheckSchema, StrengthSchema
from estimator.contract.answers.writing import ITSELF, Answer, Entry, Source, Telling
from estimator.errors import Finding
from estimator.loads.actions.steps import MARK_WORDS, Step
from estimator.loads.sheet import LoadSheet, ZoneSheet
from estimator.places import NOWHERE

SEVERITIES = ("error", "warning", "note")
FACTOR = {"type": ["number", "string"]}


@dataclass(frozen=True, slots=True)
class LoadedZone:
    """A zone's sheet with the spans that hold in it and its use."""

    sheet: ZoneSheet
    coefficient: str
    spans: tuple[ZoneSpan, ...]
    use: ZoneUse | None

    @property
    def shortest(self) -> ZoneSpan | None:
        """The span to keep to."""
        return min(self.spans, key=lambda span: span.span_mm, default=None)


def pressure(about: str, of: Source = None, *, signed: bool = False, **more: Any) -> Number:
    """A pressure in Pa."""
    return Number(about, "Pa", of, **{"least": None if signed else 0, "example": -1240.0 if signed else 850.0, **more})


def own(about: str, of: Source = None) -> Number:
    """A load in the standard's own unit, which ``own_unit`` names."""
    return Number(about, "own_unit", of, least=None, example=17.8)


class StepSchema(Answer):
    """One step of a calculation: symbol, value, formula, clause."""

    record = Step
    symbol = Words("The symbol as the standard writes it.", example="Kz")
    value = NumberOrText("Its value, in the unit beside it.", example=0.9)
    unit = Words("The unit of the value; empty for a factor or a text.", example="")
    formula = Words("How it came about.", lambda it, _to: str(it.formula), example="2.01 (z / zg)^(2 / alpha)")
    clause = Words("The clause or table it stands in.", lambda it, _to: str(it.clause), example="table 26.10-1")
    mark = OneWord("How sure its source is.", tuple(MARK_WORDS))
    note = Words("What is to be said beside it.", example="")


class SnowOwnSchema(Answer):
    """Snow in the standard's own unit."""

    record = LoadSheet
    flat = own("Snow on a flat roof.", "snow_flat.own")
    sloped = own("Snow on this slope, on plan.", "snow_sloped.own")
    design = own("Snow designed for, on plan.", "snow_design.own")
    ridge = own("Added snow at the ridge, on plan.", "snow_ridge.own")


class SnowSchema(Answer):
    """Snow on the roof, on its plan area."""

    record = LoadSheet
    flat = pressure("Snow on a flat roof.", "snow_flat.pa")
    sloped = pressure("Snow on this slope, on plan.", "snow_sloped.pa")
    design = pressure("Snow designed for, on plan.", "snow_design.pa")
    ridge = pressure("Added snow at the ridge, on plan.", "snow_ridge.pa")
    factors = ByName(
        "The factors of snow by their symbols.",
        lambda it, _to: {str(step.symbol): step.value for step in it.snow_steps},
        each=FACTOR,
        example={"Ce": 1.0},
    )
    own = One("The same in the standard's own unit.", SnowOwnSchema, ITSELF)


class RoofOwnSchema(Answer):
    """What holds for the whole roof, in the standard's own unit."""

    record = LoadSheet
    velocity_pressure = own("Velocity pressure.", "velocity_pressure.own")
    dead = own("Dead load.", "dead.own")


class CoefficientsSchema(Answer):
    """The pressure coefficients of a zone."""

    record = ZoneSheet
    uplift = Number("For uplift, negative.", "1", "c_uplift", least=None, example=-1.8)
    downward = Number("For pressure, positive.", "1", "c_downward", least=None, example=0.2)


class ZoneFactorsSchema(Answer):
    """Factors of arrays parallel to the roof."""

    record = ZoneSheet
    edge = Number("Factor of exposed and unexposed modules.", "1", "gamma_e", example=1.5)
    pressure_equalisation = Number("Factor of pressure equalisation.", "1", "gamma_a", example=0.7)


class ZoneOwnSchema(Answer):
    """The zone's loads in the standard's own unit."""

    record = ZoneSheet
    effective_area = own("Effective area.", "area_own")
    wind_uplift = own("Wind away from the roof.", "wind_uplift.own")
    wind_downward = own("Wind towards the roof.", "wind_downward.own")
    snow = own("Snow, on plan.", "snow_plan.own")
    uplift = own("Design uplift, all loads combined.", "uplift.own")
    downward = own("Design load towards the roof, all loads combined.", "downward.own")
    along_slope = own("Design load down the slope, all loads combined.", "along_slope.own")


class GoverningSchema(Answer):
    """Which combination of loads governs."""

    record = ZoneSheet
    uplift = Words("For uplift.", lambda it, _to: str(it.governing_uplift), example="0.6D + 0.6W")
    downward = Words("Towards the roof.", lambda it, _to: str(it.governing_downward), example="D + S")
    along_slope = Words("Down the slope.", lambda it, _to: str(it.governing_along), example="D + S")


class SpanSchema(Answer):
    """The longest span that holds in a zone for lines of one tributary width."""

    record = ZoneSpan
    tributary_width = Number("Width of module surface that a line carries.", "mm", "tributary_mm", example=881.0)
    span = Finite(
        "The longest span that holds, a whole number of rib pitches; null without limit.",
        "mm",
        "span_mm",
        example=1200.0,
    )
    ribs = Whole("The same in rib pitches; zero where not even one holds.", example=4, null=True)
    span_without_ribs = Finite("The longest span, ribs aside; null without limit.", "mm", "free_mm", example=1342.0)
    governs = Words("What limits the span.", example="bending of the rail")
    cantilever = Finite("How far a rail may overhang; null without limit.", "mm", "cantilever_mm", example=480.0)
    cantilever_governs = Words("What limits the overhang.", example="bending of the rail")
    effective_area = Number("Effective area of that span.", "m2", "area_m2", example=1.06)
    uplift = pressure("Design uplift at that area.", "uplift_pa", signed=True)
    downward = pressure("Design load towards the roof at that area.", "downward_pa", signed=True)
    along_slope = pressure("Design load down the slope at that area.", "along_pa", signed=True)
    uplift_combination = Words(
        "The combination that gives the uplift.", lambda it, _to: str(it.uplift_combination), example="0.6D + 0.6W"
    )
    downward_combination = Words(
        "The combination that gives the load towards the roof.",
        lambda it, _to: str(it.downward_combination),
        example="D + S",
    )


def _zone_use(name: str, without: object) -> Any:
    return lambda it, _to: getattr(it.use, name) if it.use else without


def _coefficients(symbol: str) -> One:
    return One(
        f"The pressure coefficients {symbol}, where the standard calls them so.",
        CoefficientsSchema,
        lambda it, _to: it.sheet if it.coefficient == symbol else None,
        key=symbol,
        optional=True,
    )


class ZoneSchema(Answer):
    """One load zone of a roof."""

    record = LoadedZone
    zone = Words("The zone as the standard names it.", "sheet.zone", example="2")
    effective_area = Number("Area that the pressures hold for.", "m2", "sheet.area_m2", example=1.06)
    coefficient = Words("The symbol of its pressure coefficients.", example="GCp")
    gcp = _coefficients("GCp")
    cpe = _coefficients("cpe")
    p = _coefficients("p")
    coefficient_source = Words(
        "Where the coefficient for uplift comes from.", "sheet.c_uplift_source", example="figure 30.3-2A"
    )
    coefficient_mark = OneWord("How sure that source is.", tuple(MARK_WORDS), "sheet.c_uplift_mark")
    factors = One("Factors of arrays parallel to the roof.", ZoneFactorsSchema, "sheet")
    wind_uplift = pressure("Wind away from the roof, negative.", "sheet.wind_uplift.pa", signed=True)
    wind_downward = pressure("Wind towards the roof.", "sheet.wind_downward.pa", signed=True)
    snow = pressure("Snow, on plan.", "sheet.snow_plan.pa", signed=True)
    uplift = pressure("Design uplift, all loads combined; negative.", "sheet.uplift.pa", signed=True)
    downward = pressure("Design load towards the roof, all loads combined.", "sheet.downward.pa", signed=True)
    along_slope = pressure("Design load down the slope, all loads combined.", "sheet.along_slope.pa", signed=True)
    own = One("The same in the standard's own unit.", ZoneOwnSchema, "sheet")
    governing = One("Which combination of loads governs.", GoverningSchema, "sheet")
    steps = Each("The calculation, step by step.", StepSchema, "sheet.steps")
    polygons = Values(
        "Where the zone lies on the roof plane: closed polygons of [x, y]; empty for the inner modules of a zone.",
        {"type": "array", "items": {"type": "array", "items": {"type": "number"}, "minItems": 2, "maxItems": 2}},
        "sheet.polygons",
        **{"x-unit": "mm", "example": [[[0.0, 0.0], [1800.0, 0.0], [1800.0, 1800.0], [0.0, 1800.0]]]},
    )
    allowed_span = Finite(
        "The shortest of the spans below, which is the one to keep to; null without limit, or where none was computed.",
        "mm",
        lambda it, _to: it.shortest.span_mm if it.shortest else float("inf"),
        example=1200.0,
    )
    governs = Words(
        "What limits that span.",
        lambda it, _to: it.shortest.governs if it.shortest else "",
        example="bending of the rail",
    )
    spans = Each("The spans that hold in the zone, one for each tributary width.", SpanSchema)
    attachments = Whole("Attachments that lie in the zone.", _zone_use("attachments", 0), example=40)
    utilisation = Number(
        "The largest utilisation of any of them; null where there is none.",
        "1",
        _zone_use("utilisation", None),
        null=True,
        example=0.83,
    )
    worst_at = Words(
        "Where that is.",
        lambda it, _to: str(it.use.place) if it.use else "",
        example="South / A / row 1 / rail 1 / attachment 3",
    )
    place = PlaceTold("The same as facts; empty without loads.", _zone_use("place", NOWHERE))


class NoticeSchema(Answer):
    """One thing found while loads were computed."""

    record = Finding
    code = Words("Its stable name.", example="wind_from_memory")
    severity = OneWord("Whether it blocks, warns or explains.", SEVERITIES)
    message = Words("What was found, where, and what is allowed.", example="The coefficient is from memory")
    where = Words("The place, for people.", example="South roof")
    place = PlaceTold("The place as facts.")


def _loaded_zones(it: RoofLoads, _to: Telling) -> list[LoadedZone]:
    uses = {use.zone: use for use in it.zones}
    return [
        LoadedZone(
            each,
            it.sheet.coefficient,
            tuple(span for span in it.spans if span.zone == each.zone),
            uses.get(each.zone),
        )
        for each in it.sheet.zones
    ]


class RoofLoadsSchema(Answer):
    """The loads of one roof."""

    record: ClassVar[Any] = RoofLoads
    roof = Words("The roof's name.", "name", example="South")
    standard = Words("The standard.", "sheet.standard", example="ASCE 7-16")
    method = Words("Allowable stress or strength design.", "sheet.method", example="asd")
    computed = Truth("Whether loads were computed; false where spans are given with the job.", "sheet.computed")
    velocity_pressure = pressure("Velocity pressure of the wind.", "sheet.velocity_pressure.pa")
    factors = ByName(
        "The factors of wind by their symbols.",
        lambda it, _to: {str(step.symbol): step.value for step in it.sheet.wind_steps},
        each=FACTOR,
        example={"Kz": 0.9},
    )
    snow = One("Snow.", SnowSchema, "sheet")
    dead = pressure("Dead load of modules and mounting.", "sheet.dead.pa")
    own_unit = Words("The standard's own unit of pressure.", "sheet.own_unit", example="psf")
    own = One("What holds for the whole roof, in that unit.", RoofOwnSchema, "sheet")
    steps = Each(
        "The calculation of wind, snow and dead load, step by step.",
        StepSchema,
        lambda it, _to: (*it.sheet.wind_steps, *it.sheet.snow_steps, *it.sheet.dead_steps),
    )
    zones = Each("The load zones.", ZoneSchema, _loaded_zones)
    strength = One("What rail and attachment may take; null where nothing was computed.", StrengthSchema, null=True)
    checks = Each("What was found while loads were computed.", NoticeSchema, "sheet.findings")


class AttachmentLoadSchema(Answer):
    """One attachment with its reaction."""

    record = tuple[float, AttachmentCheck]
    at = Number("Its place, from the start of the line.", "mm", "0", example=300.0)
    utilisation = Number("Found over allowed; above 1 the check fails.", "1", "1.utilisation", example=0.83)
    zone = Words("The load zone it lies in.", "1.zone", example="2")
    effective_area = Number("Its effective area.", "m2", "1.area_m2", example=1.06)
    combination = Whole("The number of the governing combination, from 0.", "1.combination", example=3)
    normal_force = Number("Force normal to the roof; negative pulls.", "N", "1.normal_n", least=None, example=-812.0)
    along_slope_force = Number("Force down the slope.", "N", "1.along_n", least=None, example=96.0)


class RailFieldSchema(Answer):
    """One span or cantilever of a rail."""

    record = FieldCheck
    start = Number("Where it begins, from the start of the line.", "mm", "start_mm", key="from", example=300.0)
    end = Number("Where it ends.", "mm", "end_mm", key="to", example=1500.0)
    cantilever = Truth("Whether it is a cantilever.", example=False)
    bending = Number("Share of the limiting moment that is used.", "1", example=0.61)
    deflection = Number("Share of the allowed deflection that is used.", "1", example=0.42)
    moment = Number("Bending moment.", "N mm", "moment_n_mm", least=None, example=251300.0)
    deflection_length = Number("Deflection.", "mm", "deflection_mm", least=None, example=3.4)
    weak_moment = Number(
        "Bending moment of the forces along the slope; zero where they do not bend the rail.",
        "N mm",
        "weak_moment_n_mm",
        least=None,
        example=41200.0,
    )
    weak_deflection = Number("Deflection along the slope.", "mm", "weak_deflection_mm", least=None, example=0.6)


class LineCheckSchema(Answer):
    """One distinct line that was checked: a rail, or a module edge held without rail."""

    record = LineCheck
    length = Number("Its length.", "mm", "line.length_mm", example=11860.0)
    tributary_width = Number("Width of module surface that it carries.", "mm", "line.tributary_mm", example=881.0)
    zones = Values("The zones it passes through, in order.", {"type": "string"}, "line.zones", example=["3", "2", "1"])
    borders = numbers("Where one zone ends and the next begins, from its start.", "mm", "line.borders_mm")
    attachments = Each(
        "Its attachments.",
        AttachmentLoadSchema,
        lambda it, _to: zip(it.line.attachments_mm, it.attachments, strict=False),
    )
    fields_ = Each("Its spans and cantilevers, in order.", RailFieldSchema, "fields", key="fields")


class LoadsAnswerSchema(RoofLoadsSchema):
    """Each roof's calculation, and the distinct lines that were checked.

    What holds for the first roof stands at the top as well: a job of one roof is read without looking further.
    """

    record = LoadReport
    first_of = "roofs"
    roofs = Each("The calculation of each roof.", RoofLoadsSchema)
    splices = Each("The rigid splices of each roof that has some.", SpliceCheckSchema)
    lines_checked = Each("The distinct lines that were checked.", LineCheckSchema, "checks")
    line_of_run = Values(
        "For each run (or line of seats) the number of its line in ``lines_checked``, from 1; 0 where there is none.",
        {"type": "integer", "minimum": 0},
        lambda it, _to: [place + 1 for place in it.check_of],
        example=[1, 1, 2],
    )


def notice_entries(findings: Iterable[Finding]) -> list[Entry]:
    """Findings by themselves."""
    return [NoticeSchema.entry(each, Telling()) for each in findings]


def report_entry(report: LoadReport) -> Entry:
    """The whole report."""
    return LoadsAnswerSchema.entry(report, Telling())
