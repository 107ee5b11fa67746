"""How to work at the saw. Source: common practice, no source."""

from __future__ import annotations

from estimator.documents.language.texts import mark

AT_THE_SAW = (
    mark("Clamp the bar, guard the blade, and wear eye, ear and hand protection; take the burr off every cut end."),
    mark("Measure every bar before the first cut. A bar shorter than listed is put aside, and the estimator is asked."),
    mark("Cut in the order given and mark each piece with its label before the next cut."),
    mark("The millimetres are what the saw is set to; feet and inches, where shown, are rounded to 1/16 in."),
)
