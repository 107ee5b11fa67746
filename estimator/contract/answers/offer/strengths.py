"""What rail and attachment may take on a roof, and how each strength was found."""

from __future__ import annotations

from estimator.attachment.capacity.strength import Direction, Strength
from estimator.attachment.under_load.checks.splices import SpliceCheck
from estimator.attachment.under_load.records import RoofStrength
from estimator.contract.answers.fields import Each, Finite, Number, OneWord, PlaceTold, Truth, Whole, Words
from estimator.contract.answers.writing import Answer

DIRECTIONS: tuple[Direction, ...] = ("uplift", "downward", "along_slope", "across_slope")


class AttachmentStrengthSchema(Answer):
    """What one attachment may take in one direction."""

    record = Strength
    direction = OneWord("The direction of the force.", DIRECTIONS)
    strength = Number("Allowable force, or design strength, as ``method`` says.", "N", "strength_n", example=1450.0)
    nominal = Number("The tested or computed force it comes from.", "N", "nominal_n", example=3625.0)
    factor = Number("The factor between both.", "1", example=2.5)
    divided = Truth("Whether the nominal force is divided by the factor; else multiplied.", example=True)
    basis = OneWord("Whether it comes from tests or is computed from the screws.", ("tests", "screws"))
    derivation = Words("How it came about.", example="3625 N tested in steel 0.60 mm / 2.5 (safety factor of the book)")
    source = Words("Where the nominal force comes from.", example="test report 17")
    tested_height = Number(
        "How high above the rib a load along the slope was tested; null where that is not known.",
        "mm",
        "tested_height_mm",
        null=True,
        example=48.0,
    )
    moment = Number(
        "The moment on the bracket that was carried along: the strength times its tested height; null where not known.",
        "N mm",
        "moment_n_mm",
        null=True,
        example=69600.0,
    )


class StrengthSchema(Answer):
    """What rail and attachment may take on a roof."""

    record = RoofStrength
    method = Words("Whether strengths are allowable or for design.", "capacity.method", example="asd")
    bracket = Words("The bracket's part number.", "capacity.bracket", example="HB-A40")
    attachment = Each(
        "What one attachment may take, by direction; a direction that is missing has no strength in the pricebook.",
        AttachmentStrengthSchema,
        "capacity.strengths",
    )
    load_height = Number(
        "How high above the rib the load acts on the bracket; zero where that is not known.",
        "mm",
        "capacity.load_height_mm",
        example=66.0,
    )
    rail_moment = Finite("The rail's limiting moment; null without a rail.", "N mm", "moment_n_mm", example=412000.0)
    rail_weak_moment = Finite(
        "Its limiting moment about the axis square to the roof; null where it is not bent about it or has no values.",
        "N mm",
        "weak_moment_n_mm",
        example=301000.0,
    )
    bending_governs = Words("What limits it.", example="yield")
    deflection_ratio = Number("The n of the limit span / n; zero without a rail.", "1", example=150.0)


class SpliceCheckSchema(Answer):
    """The rigid splices of one roof, and the one that uses most of its strength."""

    record = SpliceCheck
    roof = Whole("The number of the roof, from 1.", lambda it, _to: it.roof + 1, example=1)
    part = Words("The splice's part number.", example="HB-A40-SV")
    count = Whole("How many rigid splices stand on the roof.", example=24)
    place = PlaceTold("The run of the one that uses most; without tested strengths of the one bent most.")
    at = Number("Where it stands, from the start of the run.", "mm", "at_mm", example=2850.0)
    moment = Number("The rail's moment there.", "N mm", "moment_n_mm", least=None, example=81000.0)
    shear = Number("Its shear there.", "N", "shear_n", least=None, example=310.0)
    moment_limit = Number(
        "The moment the splice may take; null where it was not tested, and the rail is assumed to run through.",
        "N mm",
        "moment_limit_n_mm",
        null=True,
        example=479000.0,
    )
    shear_limit = Number(
        "The shear it may take; null for the same reason.", "N", "shear_limit_n", null=True, example=11040.0
    )
    utilisation = Number(
        "Both shares added; above 1 it does not hold; null for the same reason.", "1", null=True, example=0.2
    )
