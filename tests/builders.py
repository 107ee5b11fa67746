"""Builders that give a valid job, roof, array, module, book and mounting; each argument changes one thing."""

from collections import Counter
from dataclasses import replace

from estimator.attachment.records import Limits
from estimator.cutting.records import BarPattern, BarsOfLength, CutPlan, Joint, PiecePlace, PlainMethod
from estimator.job import Array, ClampingZone, Customer, Job, Module, Mounting, Ribs, Roof, Sheet, Site
from estimator.mounting.records import MountingChoice
from estimator.pricebook import Book
from estimator.site_loads import AsceLoads, EnLoads, GivenLoads, Loads
from tests.fixture_book import a_book as a_book
from tests.fixture_book import a_bracket as a_bracket
from tests.fixture_book import a_part as a_part
from tests.fixture_book import a_rail as a_rail
from tests.fixture_book import a_rule as a_rule


def a_module(**changes: object) -> Module:
    """1000 x 1700 x 35 mm, 20 kg, 400 W: round numbers, so that a job can be worked by hand."""
    anywhere = ClampingZone((0.0, 0.5), (0.0, 0.5))
    return replace(Module("plain", 1700.0, 1000.0, 35.0, 20.0, 400.0, anywhere), **changes)  # type: ignore[arg-type]


def some_ribs(**changes: object) -> Ribs:
    """Every 300 mm from 150 mm on; 1.25 in high (common practice, no source)."""
    return replace(Ribs(300.0, 150.0, 31.75, 50.0, 60.0), **changes)  # type: ignore[arg-type]


def a_sheet(**changes: object) -> Sheet:
    """26-gauge steel."""
    return replace(Sheet("steel", 0.4555, 448.0), **changes)  # type: ignore[arg-type]


def an_array(**changes: object) -> Array:
    """Two rows of three modules, portrait, 20 mm between modules, corner at (1000, 500)."""
    return replace(Array("A", 1000.0, 500.0, 2, 3, "portrait", 20.0, 20.0), **changes)  # type: ignore[arg-type]


def a_roof(**changes: object) -> Roof:
    """12 m along the eave, 6 m up the slope, 10 degrees, one array."""
    roof = Roof("South", 12_000.0, 6_000.0, 10.0, some_ribs(), a_sheet(), (an_array(),))
    return replace(roof, **changes)  # type: ignore[arg-type]


def a_job(*roofs: Roof, module: Module | None = None, mounting: Mounting | None = None, **changes: object) -> Job:
    """One South roof with one array of six modules on side rails of aluminium across the ribs."""
    job = Job(
        reference="T-1",
        title="Test job",
        customer=Customer("Test customer", tier="trade"),
        site=Site(freight_zone="near"),
        module=module or a_module(),
        roofs=roofs or (a_roof(),),
        mounting=mounting or Mounting(arrangement="rail_on_side", material="aluminium"),
    )
    return replace(job, **changes)  # type: ignore[arg-type]


def a_choice(book: Book | None = None, code: str = "AL", **changes: object) -> MountingChoice:
    """Side rail across the ribs, aluminium, two rails a row at 0.22, 50 mm overhang; parts from the book."""
    book = book or a_book()
    clamps = {(clamp.kind, clamp.material): clamp for clamp in book.clamps}
    material = book.brackets[f"B-{code}"].material
    rail = book.rails[f"R-{code}"]
    choice = MountingChoice(
        arrangement="rail_on_side",
        rail_direction="across_ribs",
        material=material,
        bracket=book.brackets[f"B-{code}"],
        rail=rail,
        stocks=rail.stocks,
        mid_clamp=clamps["mid_clamp", material],
        end_clamp=clamps["end_clamp", material],
        rails_per_row=2,
        clamping_position=0.22,
        rail_overhang_mm=50.0,
        stagger=False,
    )
    if changes.get("arrangement") == "direct":
        changes = {"rail": None, "stocks": ()} | changes
    return replace(choice, **changes)  # type: ignore[arg-type]


def some_limits(max_span_mm: float = 1250.0, max_cantilever_mm: float = 350.0) -> Limits:
    """What the fixture's rail may span and overhang, or what a test says."""
    return Limits(max_span_mm, max_cantilever_mm, "rail R-AL", "rail R-AL")


def a_cut_plan(
    *bars: tuple[int, tuple[tuple[int, int], ...]], joints: tuple[Joint, ...] = (), code: str = "AL"
) -> CutPlan:
    """A plan drawn by hand: for each bar its stock length and its pieces as (run, length), mm; one cut a piece."""
    numbers: Counter[int] = Counter()
    patterns = []
    for stock, pieces in bars:
        places = []
        for run, length in pieces:
            places.append(PiecePlace(run, numbers[run], 0, length * 10))
            numbers[run] += 1
        lengths = tuple(length * 10 for _, length in pieces)
        left = stock * 10 - sum(lengths)
        part = f"R-{code}-{stock}"
        patterns.append(BarPattern(part, stock * 10, 1, lengths, (tuple(places),), left, False, 0, len(pieces)))
    stocks = Counter((each.part, each.stock_length) for each in patterns)
    kinds = Counter(joint.kind for joint in joints)
    plain = PlainMethod("full_bars", False, 0, 0, 0, 0)
    return CutPlan(
        bars=tuple(patterns),
        joints=joints,
        cost=0,
        lower_bound=0,
        pieces=sum(len(each.pieces) for each in patterns),
        cuts=sum(each.cuts for each in patterns),
        splices=kinds["splice"],
        expansion_splices=kinds["expansion"],
        bars_by_length=tuple(BarsOfLength(part, length, count, 0) for (part, length), count in sorted(stocks.items())),
        run_places=(),
        bought_length=sum(each.stock_length for each in patterns),
        waste_length=0,
        reusable_length=0,
        bar_cost=0,
        splice_cost=0,
        offcut_value=0,
        against_rounded_up=plain,
        against_full_bars=plain,
    )


_BUILDING = {
    "mean_roof_height_mm": "mean_roof_height_mm",
    "eave_height_mm": "eave_height_mm",
    "roof_form": "roof_form",
    "building_length_mm": "length_mm",
    "building_width_mm": "width_mm",
}


def some_loads(standard: str = "given", **changes: object) -> Loads:
    """Loads by one standard; fields of the building stand beside the others, a wind speed is in m/s for all."""
    kinds = {"given": GivenLoads, "en1991": EnLoads}
    return changed_loads(kinds[standard]() if standard in kinds else AsceLoads(standard), **changes)


def changed_loads(loads: Loads, **changes: object) -> Loads:
    """The same loads with other fields, named as in ``some_loads``."""
    inner = {_BUILDING[name]: changes.pop(name) for name in [*changes] if name in _BUILDING}
    if isinstance(loads, AsceLoads) and "wind_speed_m_s" in changes:
        speed = changes.pop("wind_speed_m_s")
        changes["wind_speed_mph"] = None if speed is None else round(speed / 0.44704, 9)
    return replace(loads, building=replace(loads.building, **inner), **changes)
