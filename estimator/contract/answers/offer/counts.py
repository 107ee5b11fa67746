"""The counts of a job, a roof, an array."""

from __future__ import annotations

from estimator.contract.answers.fields import ByName, DisplayTexts, Number, Whole
from estimator.contract.answers.writing import Answer
from estimator.takeoff.records import Counts


class CountsSchema(Answer):
    """The counts by name; lengths in mm, power in W, bars by stock length."""

    record = Counts
    modules = Whole("Solar modules.", example=54)
    row_segments = Whole("Stretches of modules side by side along the eave with none left out between them.")
    column_segments = Whole("Stretches of modules one above the other up the slope with none left out between them.")
    runs = Whole("Rail lines, each under one segment; zero where there is no rail.", example=10)
    run_length = Number("Length of all rail lines together.", "mm", example=118600.0)
    attachments = Whole("Brackets fixed to the ribs, each with its screws.", example=120)
    mid_clamps = Whole("Clamps between two modules.", example=96)
    end_clamps = Whole("Clamps at the ends of a segment.", example=24)
    pieces = Whole("Pieces of rail that the bars are cut into.", example=30)
    cuts = Whole("Saw cuts.", example=22)
    splices = Whole("Rigid splices between two pieces of a run.", example=18)
    expansion_splices = Whole("Splices that let two pieces of a run move.", example=2)
    arrays = Whole("Arrays.", example=1)
    roofs = Whole("Roof planes.", example=1)
    power = Number("Rated power of all modules.", "W", example=29430.0)
    bars = ByName(
        "Bars to be bought, by stock length in mm; only for the job as a whole.",
        each={"type": "integer", "minimum": 0},
        example={"4267": 28},
    )
    display = DisplayTexts(run_length=("run_length", "length"))
