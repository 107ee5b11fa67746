"""What is checked of loads and what is not, as a list that papers and answers show: nothing is left to silence."""

from __future__ import annotations

from dataclasses import dataclass

from estimator.sentences import Sentence, say
from estimator.site_loads import LoadStandard


@dataclass(frozen=True, slots=True)
class Covered:
    """One load or effect: whether it is checked, and what that means."""

    what: Sentence
    checked: bool
    how: Sentence


_ASCE_SNOW = (
    Covered(
        say("snow lying evenly"), True, say("flat and sloped roof snow, the least load of low slopes, rain on snow")
    ),
    Covered(
        say("unbalanced snow over the ridge"),
        True,
        say("gable and hip roofs from 2.38 to 30.2 deg (ASCE 7, 7.6.1); no other roof form has it here"),
    ),
)
_EN_SNOW = (
    Covered(say("snow lying evenly"), True, say("undrifted snow with the shape coefficient of the slope")),
    Covered(
        say("drifted snow of a duopitch roof"),
        True,
        say("half on one slope and all on the other (EN 1991-1-3, 5.3.3): the undrifted load governs on either"),
    ),
    Covered(
        say("exceptional snow"),
        True,
        say("only where the site gives its factor (loads.factors.Cesl), evenly lying; exceptional drifts are not"),
    ),
    Covered(say("snow in valleys between roofs"), False, say("shape coefficient mu2 of EN 1991-1-3 is not taken")),
)
_GIVEN = (
    Covered(
        say("wind and snow"),
        False,
        say("the pressures of an engineer are used as given; what they contain is not examined"),
    ),
)
_SNOW_LEFT = (
    Covered(say("snow drifting at the array's own edges and under it"), False, say("no drift is counted there")),
    Covered(
        say("snow drifting at parapets, steps, chimneys and other obstructions"),
        False,
        say("no drift is counted there"),
    ),
    Covered(say("snow sliding from a higher roof"), False, say("not counted")),
    Covered(say("snow and ice that slides and gathers behind modules or snow guards"), False, say("not counted")),
    Covered(
        say("snow on some spans of a rail and not on others"),
        False,
        say("rails are checked with snow on all their spans"),
    ),
)
_WIND = (
    Covered(say("wind normal to the modules"), True, say("uplift and downward, zone by zone")),
    Covered(say("wind along the roof: friction, and pressure on the edges of modules"), False, say("not counted")),
)
_ALWAYS = (
    Covered(say("dead load of modules and mounting"), True, say("normal to the roof and along the slope")),
    Covered(
        say("change of length of rails with temperature"),
        True,
        say("at expansion splices, where the site gives its range of temperature"),
    ),
    Covered(
        say("loads that module frames hand over in single places"),
        False,
        say("what a rail carries of its modules is taken as spread evenly along it"),
    ),
    Covered(say("modules slipping in their clamps down the slope"), False, say("clamps are checked for uplift alone")),
    Covered(say("forces of rails that cannot move freely"), False, say("attachments are not checked for them")),
    Covered(
        say("earthquake (seismic) loads"), False, say("no seismic load is computed for array, attachments or roof")
    ),
    Covered(say("forces across the slope"), False, say("no load here acts across the slope")),
)
_BUILDING = (
    Covered(
        say("the roof sheet"), False, say("neither its bending nor its ribs' crushing or buckling under attachments")
    ),
    Covered(say("the sheet's own fasteners"), False, say("neither pull-out from purlins nor pull-over of the sheet")),
    Covered(
        say("purlins, frames and all that carries the roof"),
        False,
        say("neither with the array nor for the loads of the roof without it"),
    ),
)


def coverage(standard: LoadStandard) -> tuple[Covered, ...]:
    """Every load and effect that somebody might expect to be checked, those that are first.

    >>> [each.checked for each in coverage("given")][-3:]
    [False, False, False]
    """
    if standard == "given":
        rows = (*_GIVEN, *_ALWAYS[1:], *_BUILDING)
    else:
        snow = _EN_SNOW if standard == "en1991" else _ASCE_SNOW
        rows = (*_WIND, *snow, *_SNOW_LEFT, *_ALWAYS, *_BUILDING)
    return tuple(sorted(rows, key=lambda each: not each.checked))
