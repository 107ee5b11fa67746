"""The trade's words for the codes of the records, marked for the catalogues."""

from __future__ import annotations

from estimator.arrangements import PROPERTIES, Arrangement
from estimator.documents.language.texts import Reader, mark
from estimator.errors import Finding
from estimator.sentences import Sentence, say
from estimator.takeoff.bases import BASES

INVENTED = mark("Demonstration: parts and prices are invented. Do not order or build from this document.")
UNITS: dict[str, str] = {
    "C62": mark("pcs"), "EA": mark("pcs"), "H87": mark("pcs"), "NAR": mark("pcs"), "SET": mark("sets"),
    "PR": mark("pairs"), "MTR": "m", "FOT": "ft", "INH": "in", "MTK": "m²", "FTK": "ft²", "KGM": "kg", "LBR": "lb",
    "HUR": "h",
}  # fmt: skip
"""Source: UN/ECE Recommendation 20, the codes a materials list uses."""

ARRANGEMENTS: dict[Arrangement, str] = {each.code: str(each.named) for each in PROPERTIES.values()}
SHORT_ARRANGEMENTS: dict[str, str] = {each.code: str(each.spoken) for each in PROPERTIES.values()}
MATERIALS: dict[str, str] = {
    "aluminium": mark("aluminium"),
    "steel": mark("steel"),
    "foam_core_steel": mark("foam-core panel with steel faces"),
    "foam_core_aluminium": mark("foam-core panel with aluminium faces"),
}
DIRECTIONS: dict[str, str] = {
    "across_ribs": mark("rails across the ribs"),
    "along_ribs": mark("rails along the ribs"),
}
ORIENTATIONS: dict[str, str] = {"portrait": mark("portrait"), "landscape": mark("landscape")}

SUBJECTS: dict[str, Sentence] = {
    "arrangement": say("arrangement"),
    "material": say("material"),
    "rail_direction": say("rail direction"),
    "bracket": say("bracket"),
    "rail": say("rail"),
}
ROLES: dict[str, Sentence] = {
    "bracket": say("bracket"),
    "rail": say("rail"),
    "screw": say("screw"),
    "nut": say("nut"),
    "splice": say("splice"),
    "expansion_splice": say("expansion splice"),
    "mid_clamp": say("mid clamp"),
    "end_clamp": say("end clamp"),
}

GROUPS: dict[str, str] = {
    "brackets": mark("Brackets"),
    "rails": mark("Rails"),
    "clamps": mark("Clamps"),
    "fasteners": mark("Fasteners"),
    "bonding": mark("Bonding"),
    "cable": mark("Cable"),
    "bracket": mark("Brackets"),
    "rail": mark("Rails"),
    "screw": mark("Screws"),
    "nut": mark("Nuts"),
    "splice": mark("Splices"),
    "expansion_splice": mark("Expansion splices"),
    "mid_clamp": mark("Mid clamps"),
    "end_clamp": mark("End clamps"),
    "": mark("Parts"),
}
"""Groups that pricebooks name often, and the roles of parts, which are used where a book names no group."""


def group_name(group: str, reader: Reader) -> str:
    """A group's name: the trade's word where it is known, else the book's own, as a heading."""
    known = GROUPS.get(group)
    if known is not None:
        return reader.texts.t(known)
    plain = group.replace("_", " ").strip()
    return plain[:1].upper() + plain[1:]


def role_name(role: str, reader: Reader) -> str:
    """What a part is for, in words; a role that is not known here as the book words it."""
    known = ROLES.get(role)
    return reader.say(known if known is not None else role.replace("_", " "))


def basis_name(basis: str, reader: Reader) -> str:
    """What a rule or an activity counts, in words."""
    return reader.say(BASES.get(basis, basis.replace("_", " ")))


def unit_name(code: str, reader: Reader) -> str:
    """A unit as people write it; a code that is not known here stays as it is."""
    name = UNITS.get(code, "")
    return reader.texts.t(name) if name else code


def option_name(subject: str, option: str, reader: Reader) -> str:
    """One option of a comparison, in words."""
    words = MATERIALS | DIRECTIONS | SHORT_ARRANGEMENTS
    name = words.get(option, "")
    return reader.texts.t(name) if name else f"{reader.texts.t(subject)} {option}" if subject else option


def check_where(check: Finding, reader: Reader) -> str:
    """A check's message, its place before it where the message does not name it itself."""
    return reader.say(check.told)
