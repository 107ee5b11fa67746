"""What a stored record is called: one tag for each record type that is stored, with the version of its fields.

A tag is the record's name in every database there is; classes and modules may be renamed and moved as they like, since
no module path is stored. Change only the right-hand side here when a class moves.

When a stored record changes (a field added, renamed, removed, or read another way than before: counted from 1 instead
of 0, another word for the same thing):

1. raise the version of its tag here: ``"array/1": Array`` becomes ``"array/2": Array``;
2. say in ``upgrades.py`` how fields of version 1 become those of version 2;
3. add the line ``array/2`` with its fields to ``tests/storage/kept/fields.txt``, and leave the line of ``array/1``.

A new record type gets a tag of its own with version 1 and a line in that file. A type that is stored no longer leaves
this table; its last version stays known to ``upgrades.py``, which makes another record of it. A tag is never
given to something else. Tests of the storage hold all of this.
"""

from __future__ import annotations

from estimator.attachment.capacity.attachment import Capacity
from estimator.attachment.capacity.strength import Strength
from estimator.attachment.load_report import LoadReport, RoofLoads
from estimator.attachment.records import Limits, Run, Seat, SettingOut
from estimator.attachment.under_load.checks.splices import SpliceCheck
from estimator.attachment.under_load.records import (
    AttachmentCheck,
    FieldCheck,
    Line,
    LineCheck,
    RoofStrength,
    ZoneSpan,
    ZoneUse,
)
from estimator.buying.records import BuyLine
from estimator.comparison.records import Comparison, Offer, QuotedOption, Side
from estimator.cutting.records import BarPattern, BarsOfLength, CutPlan, Joint, PiecePlace, PlainMethod, Refusal, Saw
from estimator.deciding import Alternative, Decision, NotPlanned
from estimator.errors import Finding
from estimator.estimate import Estimate, Provenance
from estimator.freight.records import FreightCharge
from estimator.job import (
    Address,
    Alternate,
    Array,
    CheckOverride,
    Choices,
    ClampingZone,
    Customer,
    Job,
    KeepClear,
    LineChange,
    Module,
    Mounting,
    Obstruction,
    OffcutOnHand,
    OptionChoice,
    Purlins,
    Ribs,
    Roof,
    Sheet,
    Site,
)
from estimator.labour.records import Labour, LabourLine
from estimator.layout.records import ArrayLayout, Layout, RoofLayout, Segment
from estimator.loads.actions.clauses import Clause, LoadCase, Term
from estimator.loads.actions.steps import Step
from estimator.loads.sheet import Load, LoadSheet, ZoneSheet
from estimator.money import Money
from estimator.mounting.records import Clearance, MountingChoice
from estimator.orders.records import (
    Bars,
    CommonCut,
    CutCost,
    CutSheet,
    OffcutHeap,
    OrderLine,
    OrderList,
    OrderLists,
    QuoteShare,
    QuoteSite,
)
from estimator.places import Place
from estimator.pricebook import BookLocale, QuoteTerms, Tax, TaxRule
from estimator.pricebook.records import (
    AssemblyRule,
    BarStock,
    Book,
    Bracket,
    Clamp,
    Condition,
    Defaults,
    FreightRate,
    LabourActivity,
    Logo,
    Part,
    PriceBreak,
    Rail,
    ScrewJoint,
    Seller,
    SpareRule,
    Splice,
    StrengthTest,
    Supplier,
)
from estimator.pricing.records import PricedBill, PricedLine, Totals
from estimator.site_loads import AsceLoads, Building, EnLoads, GivenLoads, GivenPressure
from estimator.takeoff.records import ArrayCounts, Counts, JobCounts, RoofCounts, RuleShare

RECORDS: dict[str, type] = {
    "address/1": Address,
    "alternative/3": Alternative,
    "array/3": Array,
    "array_counts/1": ArrayCounts,
    "array_layout/1": ArrayLayout,
    "assembly_rule/1": AssemblyRule,
    "attachment_capacity/2": Capacity,
    "attachment_check/2": AttachmentCheck,
    "attachment_strength/3": Strength,
    "bar_pattern/1": BarPattern,
    "bar_stock/1": BarStock,
    "bars_of_length/1": BarsOfLength,
    "book/3": Book,
    "book_locale/1": BookLocale,
    "book_defaults/2": Defaults,
    "bracket/2": Bracket,
    "buy_line/1": BuyLine,
    "check_override/3": CheckOverride,
    "choice/2": Decision,
    "clamp/3": Clamp,
    "clamping_zone/1": ClampingZone,
    "clearance/1": Clearance,
    "common_cut/2": CommonCut,
    "comparison/2": Comparison,
    "counts/1": Counts,
    "customer/2": Customer,
    "cut_cost/1": CutCost,
    "cut_plan/3": CutPlan,
    "cut_sheet/1": CutSheet,
    "estimate/3": Estimate,
    "finding/2": Finding,
    "freight_charge/1": FreightCharge,
    "freight_rate/1": FreightRate,
    "loads_by_asce7/1": AsceLoads,
    "loads_by_en1991/2": EnLoads,
    "loads_given/1": GivenLoads,
    "building/1": Building,
    "given_pressure/1": GivenPressure,
    "job/1": Job,
    "job_counts/1": JobCounts,
    "joint/1": Joint,
    "keep_clear/1": KeepClear,
    "labour/1": Labour,
    "labour_activity/1": LabourActivity,
    "labour_line/1": LabourLine,
    "layout/1": Layout,
    "line_change/1": LineChange,
    "load/1": Load,
    "load_report/2": LoadReport,
    "load_sheet/1": LoadSheet,
    "load_step/2": Step,
    "load_case/1": LoadCase,
    "load_term/1": Term,
    "clause/1": Clause,
    "loaded_line/2": Line,
    "loaded_line_check/1": LineCheck,
    "logo/1": Logo,
    "module/1": Module,
    "money/1": Money,
    "mounting/3": Mounting,
    "mounting_choice/3": MountingChoice,
    "not_planned/1": NotPlanned,
    "obstruction/1": Obstruction,
    "offcut_heap/1": OffcutHeap,
    "offcut_on_hand/1": OffcutOnHand,
    "offer/2": Offer,
    "quoted_option/1": QuotedOption,
    "order_line/6": OrderLine,
    "order_list/4": OrderList,
    "quote_site/2": QuoteSite,
    "order_lists/3": OrderLists,
    "ordered_bars/1": Bars,
    "part/1": Part,
    "piece_place/1": PiecePlace,
    "place/1": Place,
    "plain_method/1": PlainMethod,
    "price_break/1": PriceBreak,
    "priced_bill/2": PricedBill,
    "priced_line/1": PricedLine,
    "provenance/1": Provenance,
    "purlins/1": Purlins,
    "quote_share/1": QuoteShare,
    "rail/3": Rail,
    "rail_run/4": Run,
    "ribs/1": Ribs,
    "roof/2": Roof,
    "roof_counts/1": RoofCounts,
    "roof_layout/1": RoofLayout,
    "roof_loads/1": RoofLoads,
    "roof_strength/2": RoofStrength,
    "rule_condition/2": Condition,
    "rule_share/1": RuleShare,
    "run_refused/2": Refusal,
    "saw/1": Saw,
    "screw_joint/1": ScrewJoint,
    "seat/1": Seat,
    "segment/1": Segment,
    "seller/1": Seller,
    "setting_out/1": SettingOut,
    "sheet/1": Sheet,
    "side/2": Side,
    "site/1": Site,
    "spacing_limits/2": Limits,
    "span_check/2": FieldCheck,
    "spare_rule/1": SpareRule,
    "splice_check/1": SpliceCheck,
    "splice_part/3": Splice,
    "strength_test/2": StrengthTest,
    "supplier/2": Supplier,
    "tax/2": Tax,
    "tax_rule/1": TaxRule,
    "quote_terms/1": QuoteTerms,
    "totals/1": Totals,
    "wishes/3": Choices,
    "option_wish/1": OptionChoice,
    "alternate/1": Alternate,
    "zone_sheet/2": ZoneSheet,
    "zone_span/2": ZoneSpan,
    "zone_use/2": ZoneUse,
}
"""Tag and version of every record type that is stored, and its class."""

TAGS: dict[type, str] = {kind: tag for tag, kind in RECORDS.items()}
"""The other way round."""
