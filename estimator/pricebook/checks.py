"""What a book must hold to count a job whole: every role playable, every structural part ruled, no foot twice."""

from __future__ import annotations

from collections.abc import Iterator

from estimator.arrangements import PROPERTIES
from estimator.errors import Fault, FilePlace
from estimator.pricebook.lookups import rails_for
from estimator.pricebook.nearest import VERY_ALIKE, nearest
from estimator.pricebook.records import KNOWN_ROLES, Book, Clamp
from estimator.pricebook.rule_checks import rule_faults
from estimator.sentences import say

_TABLES_OF: dict[str, frozenset[str]] = {
    "bracket": frozenset({"brackets.csv"}),
    "rail": frozenset({"rails.csv", "rail_stock.csv"}),
    "mid_clamp": frozenset({"clamps.csv"}),
    "end_clamp": frozenset({"clamps.csv"}),
    "splice": frozenset({"splices.csv"}),
    "expansion_splice": frozenset({"splices.csv"}),
}


def faults_of(book: Book, faulty: frozenset[str] = frozenset()) -> tuple[Fault, ...]:
    """Every contradiction between the book's tables, each at its file, row and column.

    ``faulty`` names the files that hold faults already: what seems missing from one of those is not reported, because
    it may be the row at fault.
    """
    misspelt = [*_misspelt_roles(book)]
    faulty |= {fault.file for fault in misspelt}
    found = [
        *misspelt,
        *_role_faults(book, faulty),
        *_material_faults(book),
        *_clamp_overlaps(book),
        *_splice_doubles(book),
        *_default_faults(book),
    ]
    missing = [*_missing_choices(book), *rule_faults(book, faulty)]
    return (*found, *(fault for fault in missing if not _needs(fault) & faulty))


def _needs(fault: Fault) -> frozenset[str]:
    """The files that something missing may be missing because of."""
    file = fault.file
    return frozenset({file, "rails.csv"} if file == "splices.csv" else {file})


def _role_meant(book: Book, role: str) -> str:
    """The known role that a part's role nearly is, where no rule names it as it stands; else nothing."""
    ruled = {rule.role for rule in book.rules}
    return "" if role in KNOWN_ROLES | ruled else nearest(role, KNOWN_ROLES | ruled, VERY_ALIKE)


def _misspelt_roles(book: Book) -> Iterator[Fault]:
    for part in book.parts.values():
        if meant := _role_meant(book, part.role):
            at = FilePlace("parts.csv", part.row, "role")
            yield Fault(
                at,
                say(
                    "no table and no rule knows the role {role}; nearest: {meant}",
                    role=repr(part.role),
                    meant=repr(meant),
                ),
                meant,
            )


def _role_faults(book: Book, faulty: frozenset[str]) -> Iterator[Fault]:
    """A part stands in the table of its role, and a table holds parts of its role."""
    bars = {bar.part: rail.row for rail in book.rails.values() for bar in rail.stocks}
    tables = {
        "bracket": {each.part: ("brackets.csv", each.row) for each in book.brackets.values()},
        "rail": {part: ("rails.csv", row) for part, row in bars.items()},
        "mid_clamp": {each.part: ("clamps.csv", each.row) for each in book.clamps if each.kind == "mid_clamp"},
        "end_clamp": {each.part: ("clamps.csv", each.row) for each in book.clamps if each.kind == "end_clamp"},
        "splice": {each.part: ("splices.csv", each.row) for each in book.splices if each.kind == "splice"},
        "expansion_splice": {
            each.part: ("splices.csv", each.row) for each in book.splices if each.kind == "expansion_splice"
        },
    }
    for role, table in tables.items():
        for part, (file, row) in table.items():
            own = book.parts[part].role if part in book.parts else role
            if own != role and _role_meant(book, own) != role:
                message = say(
                    "part {part} has the role {role} in parts.csv", part=repr(part), role=repr(book.parts[part].role)
                )
                yield Fault(FilePlace(file, row, "part"), message, role)
    for part, entry in book.parts.items():
        if entry.role in tables and part not in tables[entry.role] and not _TABLES_OF[entry.role] & faulty:
            message = say(
                "part {part} has the role {role} and no row in that table", part=repr(part), role=repr(entry.role)
            )
            yield Fault(FilePlace("parts.csv", entry.row, "role"), message, say("a row in the table of that role"))


def _material_faults(book: Book) -> Iterator[Fault]:
    """A bracket's, clamp's or bar's material is its part's."""
    claims = [(each.part, each.material, "brackets.csv", each.row) for each in book.brackets.values()]
    claims += [(each.part, each.material, "clamps.csv", each.row) for each in book.clamps if each.material]
    claims += [(bar.part, rail.material, "rails.csv", rail.row) for rail in book.rails.values() for bar in rail.stocks]
    for part, material, file, row in claims:
        own = book.parts[part].material if part in book.parts else material
        if own != material:
            message = say(
                "the material is {material}, that of part {part} is {value}",
                material=material,
                part=repr(part),
                value=own or say("not given"),
            )
            yield Fault(FilePlace(file, row, "material"), message, say("the same in both tables"))


def _clamp_overlaps(book: Book) -> Iterator[Fault]:
    """Of two clamps for the same mounting, only one takes a frame; ranges may touch."""
    for index, clamp in enumerate(book.clamps):
        for other in book.clamps[:index]:
            if _serve_alike(clamp, other) and max(clamp.frame_mm[0], other.frame_mm[0]) + 0.001 < min(
                clamp.frame_mm[1], other.frame_mm[1]
            ):
                message = say(
                    "{part} and {part2} (row {row}) take the same frames",
                    part=repr(clamp.part),
                    part2=repr(other.part),
                    row=other.row,
                )
                yield Fault(FilePlace("clamps.csv", clamp.row, "frame_min"), message, say("ranges that do not overlap"))


def _serve_alike(one: Clamp, other: Clamp) -> bool:
    same_material = None in (one.material, other.material) or one.material == other.material
    return one.kind == other.kind and same_material and bool(one.arrangements & other.arrangements)


def _splice_doubles(book: Book) -> Iterator[Fault]:
    seen: dict[tuple[str, str], int] = {}
    for splice in book.splices:
        key = (splice.rail, splice.kind)
        if key in seen:
            message = say(
                "rail {rail} has its {kind} in row {seen} already",
                rail=repr(splice.rail),
                kind=splice.kind,
                seen=seen[key],
            )
            yield Fault(FilePlace("splices.csv", splice.row, "rail"), message, say("one of each kind for a rail"))
        seen.setdefault(key, splice.row)


def _default_faults(book: Book) -> Iterator[Fault]:
    zones = {rate.zone for rate in book.freight}
    if zones and book.defaults.freight_zone not in zones:
        message = say(
            "freight zone {freight_zone} is not in freight.csv", freight_zone=repr(book.defaults.freight_zone)
        )
        yield Fault("book.toml, defaults.freight_zone", message, ", ".join(sorted(zones)))
    roles = {each for part in book.parts.values() for each in (part.role, _role_meant(book, part.role))} | {"default"}
    for role in book.spares:
        if len(roles) > 1 and role not in roles:
            yield Fault(
                f"book.toml, spares.{role}",
                say("no part has the role {role}", role=repr(role)),
                ", ".join(sorted(roles)),
            )


def _missing_choices(book: Book) -> Iterator[Fault]:
    """What a mounting needs besides its bracket: a rail where one is used, its splices, clamps of both kinds."""
    for file, held in (("brackets.csv", book.brackets), ("freight.csv", book.freight), ("parts.csv", book.parts)):
        if not held:
            yield Fault(FilePlace(file), say("the table holds no rows"), say("at least one"))
    for rail in book.rails.values():
        needed = ["splice"] + (["expansion_splice"] if rail.max_continuous_length_mm else [])
        for kind in needed:
            if not any(each.rail == rail.rail and each.kind == kind for each in book.splices):
                yield Fault(
                    FilePlace("splices.csv"),
                    say("rail {rail} has no {kind}", rail=repr(rail.rail), kind=kind),
                    say("a row for it"),
                )
    for bracket in book.brackets.values():
        for arrangement in bracket.heights_mm:
            if PROPERTIES[arrangement].has_rail and not rails_for(book, bracket, arrangement):
                at = FilePlace("brackets.csv", bracket.row, f"height_{arrangement}")
                message = say(
                    "no {material} rail is made for {arrangement} on bracket {part}",
                    material=bracket.material,
                    arrangement=arrangement,
                    part=repr(bracket.part),
                )
                yield Fault(at, message, say("a rail, or an empty height"))
    yield from _missing_clamps(book)


def _missing_clamps(book: Book) -> Iterator[Fault]:
    wanted = {(each.material, way) for each in book.brackets.values() for way in each.heights_mm}
    for material, arrangement in sorted(wanted):
        for kind in ("mid_clamp", "end_clamp"):
            if not any(
                each.kind == kind and each.material in (None, material) and arrangement in each.arrangements
                for each in book.clamps
            ):
                yield Fault(
                    FilePlace("clamps.csv"),
                    say(
                        "no {kind} of {material} is made for {arrangement}",
                        kind=kind,
                        material=material,
                        arrangement=arrangement,
                    ),
                    say("a row for it"),
                )
