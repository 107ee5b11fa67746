"""Roofs to draw, made up from a number: 24 to 25,000 modules in few or many arrays, with obstructions and zones."""

import math
import random

from estimator.documents.drawing.plan import DimensionChain, NamedBox, RoofPlan
from estimator.documents.drawing.zones import NamedZone

ROOFS = 50
FEWEST, MOST = 24, 25_000


def a_drawn_roof(number):
    """The roof of that number (0 to 49); the same number, the same roof."""
    chance = random.Random(f"roof {number}")
    wanted = round(FEWEST * (MOST / FEWEST) ** (number / (ROOFS - 1)))
    wide, high = chance.choice([(1134.0, 1722.0), (2278.0, 1134.0)])
    many = chance.choice([1, 1, 2, 3, 4, 8, 15])
    shape = chance.choice([0.2, 1.0, 3.0, 9.0])
    columns = max(1, round(math.sqrt(wanted * shape * high / wide)))
    rows = max(1, math.ceil(wanted / columns))
    arrays, modules = [], []
    edges = sorted(chance.sample(range(1, columns), min(many, columns) - 1)) if columns > 1 else []
    x, taken = chance.uniform(200, 3000), 0
    for at, (first, last) in enumerate(zip([0, *edges], [*edges, columns], strict=True)):
        left, low = x, chance.uniform(150, 2500)
        for row in range(rows):
            for column in range(last - first):
                if taken < wanted:
                    x0, y0 = left + column * (wide + 20), low + row * (high + 20)
                    modules.append((x0, y0, x0 + wide, y0 + high))
                    taken += 1
        if modules and modules[-1][0] >= left:
            own = [box for box in modules if box[0] >= left]
            name = chance.choice(["A", "B", "East of the lantern", "Süd 3"]) + f" {at}"
            arrays.append(NamedBox(name, (left, low, max(b[2] for b in own), max(b[3] for b in own))))
            x = max(b[2] for b in own) + chance.choice([20.0, 300.0, 1500.0])
    width = max(box[2] for box in modules) + chance.uniform(100, 3000)
    height = max(box[3] for box in modules) + chance.uniform(100, 3000)
    return _roof(chance, (width, height), tuple(modules), tuple(arrays))


def _roof(chance, size, modules, arrays):
    width, height = size
    obstructions = tuple(
        NamedBox(f"Skylight {at}", (x, y, x + chance.uniform(300, 2500), y + chance.uniform(300, 2500)))
        for at in range(chance.randrange(5))
        for x, y in [(chance.uniform(0, width), chance.uniform(0, height))]
    )
    pitch = chance.choice([150.0, 250.0, 333.0])
    return RoofPlan(
        roof=0, name="Hall", width_mm=width, height_mm=height, slope_deg=7.0, rib_spacing_mm=pitch, first_rib_mm=100.0,
        ribs=tuple(100.0 + pitch * at for at in range(int((width - 100) / pitch))), modules=modules, rails=(),
        attachments=(), splices=(), expansion_splices=(), strips=(), obstructions=obstructions, arrays=arrays,
        zones=_zones(chance, width, height),
        dimensions=(*_chains(arrays, "x", width), *_chains(arrays, "y", height)),
    )  # fmt: skip


def _zones(chance, width, height):
    """An inner zone within strips along the edges, each strip in pieces."""
    strip = min(width, height) * chance.uniform(0.03, 0.2)
    boxes = {"1": (strip, strip, width - strip, height - strip)}
    pieces = chance.randrange(1, 7)
    for at in range(pieces):
        x0, x1 = width * at / pieces, width * (at + 1) / pieces
        boxes[f"2e{at}"] = (x0, 0.0, x1, strip)
        boxes[f"3r{at}"] = (x0, height - strip, x1, height)
    return tuple(
        NamedZone(name, name, ((x0, y0), (x1, y0), (x1, y1), (x0, y1)),
                  tuple((x0 + a * (x1 - x0) / 10, y0 + b * (y1 - y0) / 10) for a in range(1, 10) for b in range(1, 10)))
        for name, (x0, y0, x1, y1) in boxes.items()
    )  # fmt: skip


def _chains(arrays, axis, length):
    first, last = (0, 2) if axis == "x" else (1, 3)
    edges = sorted({round(named.box[at], 1) for named in arrays for at in (first, last)})
    yield DimensionChain(axis, 1, (0.0, *edges, length))
    yield DimensionChain(axis, 2, (0.0, length))
