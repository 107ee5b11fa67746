"""The drawing of all roofs as DXF for a CAD program: millimetres, true size, a layer for each kind of thing.

Its texts are in the job's units; where the job shows both systems, in the millimetres of the drawing alone.

Source: DXF reference, version AC1024 (R2010), through ezdxf. An attachment and a splice is one block reference each, a
module one closed polyline, a rail run one line, so that a CAD program counts what the takeoff counts.
"""

from __future__ import annotations

import io
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager

from ezdxf import options, units  # type: ignore[attr-defined]
from ezdxf.document import Drawing
from ezdxf.enums import TextEntityAlignment
from ezdxf.filemanagement import new as new_drawing
from ezdxf.layouts.layout import Modelspace

from estimator.comparison.records import Offer
from estimator.documents import style
from estimator.documents.drawing.annotations import annotate
from estimator.documents.drawing.dimensions import margin_mm
from estimator.documents.drawing.labels import Label
from estimator.documents.drawing.plan import Box, Crossing, RoofPlan, plans_of
from estimator.documents.drawing.symbols import ATTACHMENT_MM, SPLICE_MM
from estimator.documents.drawing.words import described, notes, roof_title
from estimator.documents.fonts.faces import drawable
from estimator.documents.header import QuoteHeader
from estimator.documents.language.texts import Reader, reader_for
from estimator.documents.plan.dxf_bulk import BulkEntities
from estimator.units import systems_of

PAPER_WIDTH_MM = 400.0
BETWEEN_ROOFS_MM = 40.0
SYMBOL_MM = 100.0
LAYERS: dict[str, str] = {
    "roof": "ROOF-EDGE",
    "ribs": "RIBS",
    "zones": "LOAD-ZONES",
    "keep_clear": "KEEP-CLEAR",
    "obstructions": "OBSTRUCTIONS",
    "modules": "MODULES",
    "rails": "RAILS",
    "attachments": "ATTACHMENTS",
    "splices": "SPLICES",
    "expansion_splices": "EXPANSION-SPLICES",
    "dimensions": "DIMENSIONS",
}
TEXT_LAYER = "TEXT"
ALIGNMENTS = {
    "start": TextEntityAlignment.LEFT,
    "middle": TextEntityAlignment.CENTER,
    "end": TextEntityAlignment.RIGHT,
}


def write_plan_dxf(offer: Offer, header: QuoteHeader) -> bytes:
    """The plan of every roof of an offer, roofs beside one another. The same offer, the same bytes."""
    job = offer.estimate.job
    units = job.display_units if len(systems_of(job.display_units)) == 1 else "metric"
    reader = reader_for(header.language, job.customer.address.country, units)
    plans = plans_of(offer.estimate)
    paper = max(max(plan.width_mm, 1.4 * plan.height_mm) for plan in plans) / PAPER_WIDTH_MM
    with _repeatable():
        document = _document(f"{job.title}, {header.code}")
        bulk, left = BulkEntities(document), 0.0
        for plan in plans:
            bulk.rectangles(LAYERS["modules"], plan.modules, left)
            bulk.references(LAYERS["attachments"], "ATTACHMENT", plan.attachments, left)
            _roof(document.modelspace(), plan, left, paper, reader)
            beside = annotate(plan, paper, reader).right_mm
            left += plan.width_mm + (BETWEEN_ROOFS_MM + beside) * paper
        _sort_classes(document)
        out = io.StringIO()
        document.write(out)
    return bulk.within(out.getvalue()).encode("utf-8")


@contextmanager
def _repeatable() -> Iterator[None]:
    """Fixed dates and ids in the file, so that the same plan gives the same bytes."""
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before


def _sort_classes(document: Drawing) -> None:
    """The file's list of classes by name: the library lists them as a set falls, another way in every process."""
    document.classes.add_required_classes(document.dxfversion)
    document.classes.classes = dict(sorted(document.classes.classes.items()))


def _document(title: str) -> Drawing:
    document = new_drawing("R2010", units=units.MM)
    document.header["$LUNITS"] = 2
    document.header.custom_vars.append("Title", _plain(title))
    document.linetypes.add("DASHED-FINE", [900.0, 600.0, -300.0])
    for layer, name in LAYERS.items():
        look = style.LOOKS[layer]
        entry = document.layers.add(name, true_color=int(look.line, 16), lineweight=max(5, _weight(look.width_mm)))
        if look.dash_mm:
            entry.dxf.linetype = "DASHED-FINE"
    document.layers.add(TEXT_LAYER, true_color=int(style.INK, 16))
    half = ATTACHMENT_MM * SYMBOL_MM / 2
    document.blocks.new("ATTACHMENT").add_lwpolyline(
        [(-half, -half), (half, -half), (half, half), (-half, half)], close=True
    )
    long, short = SPLICE_MM * SYMBOL_MM, 0.55 * SPLICE_MM * SYMBOL_MM
    for name in ("SPLICE", "EXPANSION-SPLICE"):
        block = document.blocks.new(name)
        block.add_lwpolyline([(-long, -short), (long, -short), (long, short), (-long, short)], close=True)
        if name.startswith("EXP"):
            block.add_line((0, -short), (0, short))
    return document


def _weight(width_mm: float) -> int:
    """Line weight in hundredths of a millimetre, the nearest that the format knows."""
    known = (5, 9, 13, 15, 18, 20, 25, 30, 35, 40, 50)
    return min(known, key=lambda each: abs(each - width_mm * 100))


def _roof(space: Modelspace, plan: RoofPlan, left: float, paper: float, reader: Reader) -> None:
    _boxes(space, "roof", [(0.0, 0.0, plan.width_mm, plan.height_mm)], left)
    _lines(space, "ribs", ((rib, 0.0, rib, plan.height_mm) for rib in plan.ribs), left)
    for zone in plan.zones:
        points = [(x + left, y) for x, y in zone.polygon]
        space.add_lwpolyline(points, close=True, dxfattribs={"layer": LAYERS["zones"]})
    _boxes(space, "keep_clear", plan.strips, left)
    _boxes(space, "obstructions", (named.box for named in plan.obstructions), left)
    _lines(space, "rails", plan.rails, left)
    _crossings(space, "splices", "SPLICE", plan.splices, left)
    _crossings(space, "expansion_splices", "EXPANSION-SPLICE", plan.expansion_splices, left)
    drawn = annotate(plan, paper, reader)
    _lines(space, "dimensions", drawn.lines, left)
    for label in drawn.labels:
        _write(space, label, left, paper)
    _write(space, Label(roof_title(plan, reader), 0, plan.height_mm + 6 * paper, "start", size_mm=3.5), left, paper)
    below = [described(plan, reader), *notes(plan, reader, drawn.untold)]
    for line, text in enumerate(below):
        y = -(margin_mm(plan, "x", reader) + 5 + 4 * line) * paper
        _write(space, Label(text, 0, y, "start"), left, paper)


def _boxes(space: Modelspace, layer: str, boxes: Iterable[Box], left: float) -> None:
    attributes = {"layer": LAYERS[layer]}
    for x0, y0, x1, y1 in boxes:
        corners = [(x0 + left, y0), (x1 + left, y0), (x1 + left, y1), (x0 + left, y1)]
        space.add_lwpolyline(corners, close=True, dxfattribs=attributes)


def _lines(space: Modelspace, layer: str, lines: Iterable[Box], left: float) -> None:
    attributes = {"layer": LAYERS[layer]}
    for x0, y0, x1, y1 in lines:
        space.add_line((x0 + left, y0), (x1 + left, y1), attributes)


def _crossings(space: Modelspace, layer: str, block: str, crossings: Sequence[Crossing], left: float) -> None:
    for c in crossings:
        attributes = {"layer": LAYERS[layer], "rotation": 0 if c.axis == "x" else 90}
        space.add_blockref(block, (c.x + left, c.y), attributes)


def _write(space: Modelspace, label: Label, left: float, paper: float) -> None:
    text = space.add_text(
        _plain(label.text),
        height=label.size_mm * paper,
        rotation=90 if label.turned else 0,
        dxfattribs={"layer": TEXT_LAYER},
    )
    text.set_placement((label.x + left, label.y), align=ALIGNMENTS[label.anchor])


def _plain(text: str) -> str:
    """The text on one line, without the signs a CAD program takes for codes."""
    return " ".join(drawable(text).split()).replace("%%", "% %").replace("^", "^ ")
