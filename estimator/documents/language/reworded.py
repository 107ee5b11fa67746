"""Sentences of stored offers that the core says in other words today: the old template, and the one of today.

A stored sentence keeps its template and values, and the template is the key of the catalogues. So an old template
is put here, for good, when a sentence of the core is reworded; a template reworded twice has two entries, both
with the words of today. A test goes through every template of the database that version 0.1 wrote.
"""

from __future__ import annotations

from collections.abc import Mapping

from estimator.sentences import Sentence

REWORDED: Mapping[str, str] = {
    "a further attachment near {places} from its start": "another attachment near {places} from its start",
    "a rail that may overhang so far would help": "a rail that may overhang that far would help",
    "a rail that may overhang so far, or the array moved {excess} to the left if the other end allows it, would help": (
        "a rail that may overhang that far, or the array moved {excess} to the left if the other end "
        "allows it, would help"
    ),
    "a rail that may overhang so far, or the array moved {excess} to the right if the other end allows "
    "it, would help": (
        "a rail that may overhang that far, or the array moved {excess} to the right if the other end "
        "allows it, would help"
    ),
    "a zone is named by its letter for wind on this eave (0), on the other or high eave (180) and on a "
    "gable (90); the severest of them governs": (
        "a zone is named by its letter for wind on this eave (0), on the other or high eave (180) and on a "
        "gable (90); the most severe of them governs"
    ),
    "bracket {bracket} does not serve {arrangement}": "bracket {bracket} is not made for {arrangement}",
    "bracket {bracket} has no tested strength for downward load; it bears on the rib, not checked": (
        "bracket {bracket} has no tested strength for downward load; how it bears on the rib is not checked"
    ),
    "bracket {bracket} takes rails {rails}, not {rail}; both given": (
        "bracket {bracket} takes rails {rails}, not {rail}; the job names both"
    ),
    "bracket {bracket}, {load} in {sheet}: {count} of {all} results lie more than 15 % from their "
    "mean; three more tests are asked for": (
        "bracket {bracket}, {load} in {sheet}: {count} of {all} results lie more than 15 % from their "
        "mean; three more tests are required"
    ),
    "fewest checks fail ({count}), then the least total: {total}": (
        "fewest checks fail ({count}), then the lowest total: {total}"
    ),
    "it has been tested in no sheet; the load is not checked": (
        "it was not tested in any sheet; the load is not checked"
    ),
    "it has been tested in {sheets}": "it was tested in {sheets}",
    "more brings no significant yield": "beyond that the output rises little",
    "no loads are given for the site, so spans have to come from somebody who answers for them; not "
    "given under mounting: {fields}. Give the site's loads, or these": (
        "no loads are given for the site, so a named person has to be responsible for the spans; not given "
        "under mounting: {fields}. Give the site's loads, or these"
    ),
    "only in steel sheet are screws computed": "screws are computed in steel sheet only",
    "rail {rail} does not serve {arrangement}": "rail {rail} is not made for {arrangement}",
    "rail {rail} is not sold in any of the bar lengths wished for": (
        "rail {rail} is not sold in any of the requested bar lengths"
    ),
    "staggering is wished for; with rails along the ribs it has no effect": (
        "staggering was requested; with rails along the ribs it has no effect"
    ),
    "staggering is wished for; without rail it has no effect": (
        "staggering was requested; without rail it has no effect"
    ),
    "the least total whose checks all hold: {total}": "the lowest total that passes every check: {total}",
    "{count} rails under a row are wished for; with rails along the ribs that has no effect": (
        "{count} rails under a row were requested; with rails along the ribs that has no effect"
    ),
    "{count} rails under a row are wished for; without rail that has no effect": (
        "{count} rails under a row were requested; without rail that has no effect"
    ),
    "{number}, the severest,": "{number}, the most severe,",
    "{part}, given in the job, is set aside for this quote: {why}": (
        "{part}, given in the job, is not used in this quote: {why}"
    ),
    "{part}: the quotes count on {count} together, {have} are on hand": (
        "{part}: the quotes use {count} together, {have} are on hand"
    ),
    "{place}: the loads ask for {asked} attachments on this edge, the clamping zones hold {found} ribs": (
        "{place}: the loads require {asked} attachments on this edge, but only {found} ribs lie in the clamping zones"
    ),
    "{what} not given: {value} is taken": "{what} not given: {value} is used",
    "{where}: pressures given for zones {zones}, not where they lie: the severest counts everywhere": (
        "{where}: pressures are given for zones {zones}, but not where these lie: the most severe is used everywhere"
    ),
    "{where}: the clamping zones of the modules do not both hold a rib of their own; {move} (columns "
    "counted from the left)": (
        "{where}: the two clamping zones of the modules do not each contain a rib; {move} (columns counted "
        "from the left)"
    ),
    "{where}: the given zones are taken to lie as in {figure}": (
        "{where}: the given zones are assumed to lie as in {figure}"
    ),
    "{where}: {length} of rail {rail} grow {growth}, expansion splice {splice} leaves a gap of {gap}; "
    "parts of at most {longest} would hold": (
        "{where}: {length} of rail {rail} expand by {growth}, expansion splice {splice} leaves a gap of "
        "{gap}; parts of at most {longest} would pass"
    ),
    "{where}: {what} is {found}; ASCE 7 29.4.4 covers at least {allowed}. The panel pressures go "
    "beyond the clause and need an engineer's word": (
        "{where}: {what} is {found}; ASCE 7 29.4.4 covers at least {allowed}. The panel pressures are "
        "beyond the scope of the clause; an engineer must confirm them"
    ),
    "{where}: {what} is {found}; ASCE 7 29.4.4 covers at most {allowed}. The panel pressures go beyond "
    "the clause and need an engineer's word": (
        "{where}: {what} is {found}; ASCE 7 29.4.4 covers at most {allowed}. The panel pressures are "
        "beyond the scope of the clause; an engineer must confirm them"
    ),
    "beyond that the output hardly rises": "beyond that the output rises little",
    "{where}: the given {kind} is 0, and hardly any roof has none: please check it": (
        "{where}: the given {kind} is 0, and almost every roof has some: please check it"
    ),
    "No loads were computed: the job gives its spans, and whoever gave them knows the forces.": (
        "No loads were computed: the job gives its spans, and the person who gave them knows the forces."
    ),
    "the pressures of an engineer are used as given; what they contain is not looked into": (
        "the pressures of an engineer are used as given; what they contain is not examined"
    ),
    "kept from the revision before": "kept from the earlier revision",
}
"""Old template and that of today. The places filled in keep their names, unless ``PLACES`` says otherwise."""

NO_LONGER_SAID = frozenset(
    {
        "{run}: the expansion splice at {place} stands {distance} from an attachment, a splice is to stand {clear} "
        "clear",
        "rails",
        "{count} modules of the array do",
        "{roof}, array {array}, row {row}, column {column}: {what} (rows counted from the eave, columns from the left)",
        "{where}: no loads computed; spans and cantilevers given in the job are used as given",
    }
)
"""Templates that only stored offers hold: nothing of today says the same, so they stay in the catalogues."""

PLACES: Mapping[str, Mapping[str, str]] = {}
"""By old template: places that have another name today, old and new."""


def in_words_of_today(sentence: Sentence) -> Sentence:
    """The sentence by its template of today; most have not changed."""
    template = REWORDED.get(sentence.template)
    if template is None:
        return sentence
    names = PLACES.get(sentence.template, {})
    return Sentence(template, [(names.get(name, name), value) for name, value in sentence.values])
