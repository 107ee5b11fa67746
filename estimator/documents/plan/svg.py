"""The drawing of all roofs as SVG: one path a layer, a title and a description for each, counts as attributes.

Source: SVG 1.1 (W3C Recommendation), its accessibility names by title and desc.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from xml.sax.saxutils import escape, quoteattr

from reportlab.lib.utils import simpleSplit

from estimator.comparison.records import Offer
from estimator.documents import style
from estimator.documents.drawing.annotations import annotate, scale_bar, symbol_unit
from estimator.documents.drawing.dimensions import margin_mm
from estimator.documents.drawing.labels import TEXT_MM, Label, width_of
from estimator.documents.drawing.plan import Box, Crossing, RoofPlan, plans_of
from estimator.documents.drawing.symbols import ATTACHMENT_MM, LINE_LAYERS, SPLICE_MM, SWATCHES
from estimator.documents.drawing.words import described, legend, notes, roof_title
from estimator.documents.fonts.faces import REGULAR, drawable
from estimator.documents.header import QuoteHeader
from estimator.documents.language.texts import Reader, reader_for

PAPER_WIDTH_MM = 270.0
PAPER_HEIGHT_MM = 190.0
MARGIN_MM = 6.0
HEAD_MM = 9.0
LEGEND_LINE_MM = 4.6


@dataclass(frozen=True, slots=True)
class _SvgSheet:
    """One roof on the drawing: its place (upper left corner of the roof's own outline) in drawing units."""

    plan: RoofPlan
    left: float
    top: float


def write_plan_svg(offer: Offer, header: QuoteHeader) -> bytes:
    """The plan of every roof of an offer; one user unit is a millimetre on the roof. The same offer, the same bytes."""
    job = offer.estimate.job
    reader = reader_for(header.language, job.customer.address.country, job.display_units)
    plans = plans_of(offer.estimate)
    unit = max(max(plan.width_mm / PAPER_WIDTH_MM, plan.height_mm / PAPER_HEIGHT_MM) for plan in plans)
    sheets, width, height = _arrange(plans, unit, reader)
    title = f"{job.title}, {header.code}"
    parts = [*_head(width, height, unit, title, " ".join(described(plan, reader) for plan in plans))]
    for sheet in sheets:
        parts += _roof(sheet, unit, reader)
    parts.append("</svg>\n")
    return "\n".join(parts).encode()


def _arrange(plans: Sequence[RoofPlan], unit: float, reader: Reader) -> tuple[list[_SvgSheet], float, float]:
    """Roofs below one another, each with its title above and its dimensions and legend below."""
    left = (MARGIN_MM + max(margin_mm(plan, "y", reader) for plan in plans)) * unit
    top, sheets = MARGIN_MM * unit, []
    for plan in plans:
        top += HEAD_MM * unit
        sheets.append(_SvgSheet(plan, left, top))
        lines = len(_legend_lines(plan, unit, reader)) + len(_note_lines(plan, unit, reader))
        top += plan.height_mm + (margin_mm(plan, "x", reader) + 3 + lines * LEGEND_LINE_MM + 3) * unit
    beside = max(plan.width_mm + annotate(plan, unit, reader).right_mm * unit for plan in plans)
    width = left + max(130 * unit, beside) + (MARGIN_MM + 4) * unit
    return sheets, width, top + MARGIN_MM * unit


def _head(width: float, height: float, unit: float, title: str, text: str) -> Iterator[str]:
    paper = f'width="{width / unit:.1f}mm" height="{height / unit:.1f}mm"'
    yield '<?xml version="1.0" encoding="UTF-8"?>'
    yield (
        f'<svg xmlns="http://www.w3.org/2000/svg" {paper} viewBox="0 0 {_n(width)} {_n(height)}" role="img" '
        f'aria-labelledby="plan-title plan-text" font-family="&quot;{style.FONT}&quot;, sans-serif" '
        f'font-size="{_n(TEXT_MM * unit)}" fill="#{style.INK}">'
    )
    yield f'<title id="plan-title">{_text(title)}</title>'
    yield f'<desc id="plan-text">{_text(text)}</desc>'
    yield f'<rect width="{_n(width)}" height="{_n(height)}" fill="#{style.PAPER}"/>'


def _roof(sheet: _SvgSheet, unit: float, reader: Reader) -> Iterator[str]:
    plan, t = sheet.plan, reader.texts.t
    x, y = _n(sheet.left), _n(sheet.top)
    counts = (
        f'data-roof={_attribute(plan.name)} data-modules="{len(plan.modules)}" data-rails="{len(plan.rails)}" '
        f'data-attachments="{len(plan.attachments)}" data-splices="{len(plan.splices)}" '
        f'data-expansion-splices="{len(plan.expansion_splices)}" data-ribs="{len(plan.ribs)}"'
    )
    yield f'<g transform="translate({x} {y})" {counts}>'
    yield f"<title>{_text(roof_title(plan, reader))}</title>"
    yield _written(
        Label(roof_title(plan, reader), 0, plan.height_mm + 5.2 * unit, "start", bold=True, size_mm=3.0), plan, unit
    )
    height = plan.height_mm
    ribs = "".join(f"M{_n(rib)} 0v{_n(height)}" for rib in plan.ribs)
    zones = "".join(_polygon(zone.polygon, height) for zone in plan.zones)
    fine = symbol_unit(unit)
    yield from _layer("keep_clear", t("strips kept clear"), _boxes(plan.strips, height), unit)
    yield from _layer("modules", t("modules"), _boxes(plan.modules, height), fine)
    yield from _layer("obstructions", t("obstructions"), _boxes((o.box for o in plan.obstructions), height), fine)
    yield from _layer("ribs", t("ribs"), ribs, fine)
    yield from _layer("zones", t("load zones"), zones, unit)
    yield from _layer("roof", t("roof edge"), f"M0 0h{_n(plan.width_mm)}v{_n(height)}h{_n(-plan.width_mm)}z", unit)
    yield from _layer("rails", t("rail runs"), _lines(plan.rails, height), fine)
    yield from _layer("attachments", t("attachments"), _squares(plan.attachments, height, ATTACHMENT_MM * fine), fine)
    yield from _layer("splices", t("splices"), _crossings(plan.splices, height, fine), fine)
    yield from _layer(
        "expansion_splices", t("expansion splices"), _crossings(plan.expansion_splices, height, fine), fine
    )
    drawn = annotate(plan, unit, reader)
    yield from _layer("dimensions", t("dimensions"), _lines(drawn.lines, height), unit)
    yield from (_written(label, plan, unit) for label in drawn.labels)
    yield from _legend(plan, unit, reader)
    yield "</g>"


def _layer(layer: str, title: str, path: str, unit: float) -> Iterator[str]:
    """One path, or nothing where nothing stands on the layer."""
    if path:
        name = layer.replace("_", "-")
        yield f'<path class="{name}" {_look(layer, unit)} d="{path}"><title>{_text(title)}</title></path>'


def _look(layer: str, unit: float) -> str:
    look = style.LOOKS[layer]
    fill = f"#{look.fill}" if look.fill else "none"
    dashes = " ".join(_n(dash * unit) for dash in look.dash_mm)
    dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
    return f'fill="{fill}" stroke="#{look.line}" stroke-width="{_n(look.width_mm * unit)}"{dashed}'


def _boxes(boxes: Iterable[Box], height: float) -> str:
    return "".join(
        f"M{x0:.8g} {height - y0:.8g}h{x1 - x0:.8g}v{y0 - y1:.8g}h{x0 - x1:.8g}z" for x0, y0, x1, y1 in boxes
    )


def _lines(lines: Iterable[Box], height: float) -> str:
    return "".join(f"M{x0:.8g} {height - y0:.8g}L{x1:.8g} {height - y1:.8g}" for x0, y0, x1, y1 in lines)


def _squares(points: Iterable[tuple[float, float]], height: float, size: float) -> str:
    half, top = size / 2, height - size / 2
    square = f"h{size:.6g}v{size:.6g}h{-size:.6g}z"
    return "".join([f"M{x - half:.8g} {top - y:.8g}{square}" for x, y in points])


def _crossings(crossings: Iterable[Crossing], height: float, unit: float) -> str:
    """A lying rectangle over the joint, longer along the rail."""
    long, short = SPLICE_MM * unit, 0.55 * SPLICE_MM * unit
    boxes = [
        (c.x - a, c.y - b, c.x + a, c.y + b)
        for c in crossings
        for a, b in ((long, short) if c.axis == "x" else (short, long),)
    ]
    return _boxes(boxes, height)


def _polygon(points: Sequence[tuple[float, float]], height: float) -> str:
    return "M" + "L".join(f"{x:.8g} {height - y:.8g}" for x, y in points) + "z"


def _written(label: Label, plan: RoofPlan, unit: float) -> str:
    x, y = _n(label.x), _n(plan.height_mm - label.y)
    turned = f' transform="rotate(-90 {x} {y})"' if label.turned else ""
    anchor = "" if label.anchor == "start" else f' text-anchor="{label.anchor}"'
    bold = ' font-weight="bold"' if label.bold else ""
    size = "" if label.size_mm == TEXT_MM else f' font-size="{_n(label.size_mm * unit)}"'
    halo = f'stroke="#{style.PAPER}" stroke-width="{_n(0.7 * unit)}" paint-order="stroke"'
    return f'<text x="{x}" y="{y}" {halo}{anchor}{bold}{size}{turned}>{_text(label.text)}</text>'


def _legend_lines(plan: RoofPlan, unit: float, reader: Reader) -> list[list[tuple[str, str, float]]]:
    """The legend's items (layer, text, place along its line) in as many lines as they need."""
    room = max(plan.width_mm / unit, 130.0)
    lines: list[list[tuple[str, str, float]]] = [[]]
    at = 0.0
    for item in legend(plan, reader):
        wide = 9 + width_of(item.text) + 4
        if lines[-1] and at + wide > room:
            lines.append([])
            at = 0.0
        lines[-1].append((item.layer, item.text, at))
        at += wide
    return lines


def _legend(plan: RoofPlan, unit: float, reader: Reader) -> Iterator[str]:
    y = plan.height_mm + (margin_mm(plan, "x", reader) + 4) * unit
    for line in _legend_lines(plan, unit, reader):
        for layer, text, at in line:
            x = at * unit
            yield _swatch(layer, x, y, unit)
            yield f'<text x="{_n(x + 8 * unit)}" y="{_n(y)}">{_text(text)}</text>'
        y += LEGEND_LINE_MM * unit
    for note in _note_lines(plan, unit, reader):
        yield f'<text x="0" y="{_n(y)}" fill="#{style.MUTED}">{_text(note)}</text>'
        y += LEGEND_LINE_MM * unit
    yield from _scale_bar(plan, unit, reader)


def _note_lines(plan: RoofPlan, unit: float, reader: Reader) -> list[str]:
    """The notes broken into lines that stand within the drawing's width."""
    room = max(plan.width_mm / unit, 130.0)
    told = notes(plan, reader, annotate(plan, unit, reader).untold)
    return [line for note in told for line in simpleSplit(drawable(note), REGULAR, TEXT_MM, room)]


def _scale_bar(plan: RoofPlan, unit: float, reader: Reader) -> Iterator[str]:
    """A bar of round length at the upper right."""
    bar = scale_bar(unit, reader)
    step = bar.length_mm / bar.steps
    right = max(plan.width_mm, 130 * unit)
    top = -5.2 * unit
    for number in range(bar.steps):
        fill = style.INK if number % 2 == 0 else style.PAPER
        yield (
            f'<rect x="{_n(right - bar.length_mm + number * step)}" y="{_n(top)}" width="{_n(step)}" '
            f'height="{_n(1.2 * unit)}" fill="#{fill}" stroke="#{style.INK}" stroke-width="{_n(0.13 * unit)}"/>'
        )
    x = right - bar.length_mm - 1.2 * unit
    yield f'<text x="{_n(x)}" y="{_n(top + 1.4 * unit)}" text-anchor="end">{_text(bar.text)}</text>'


def _swatch(layer: str, x: float, y: float, unit: float) -> str:
    """A sample of the layer, 6.5 mm wide on paper."""
    middle = y - 0.7 * unit
    if layer in LINE_LAYERS:
        return f'<path {_look(layer, unit)} d="M{_n(x)} {_n(middle)}h{_n(6.5 * unit)}"/>'
    wide, high = SWATCHES.get(layer, (6.5, 2.2))
    left = x + (6.5 - wide) / 2 * unit
    return (
        f'<rect x="{_n(left)}" y="{_n(middle - high / 2 * unit)}" width="{_n(wide * unit)}" '
        f'height="{_n(high * unit)}" {_look(layer, unit)}/>'
    )


def _n(value: float) -> str:
    return f"{round(value, 2):.8g}"


def _text(text: str) -> str:
    return escape(drawable(text).replace("\n", " "))


def _attribute(text: str) -> str:
    return quoteattr(drawable(text).replace("\n", " "))
