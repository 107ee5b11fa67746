"""Jobs of any size as posted: rows all alike or of all lengths, loads given or to be found, choices open or not."""

from __future__ import annotations

import random

EN_1991 = {
    "standard": "en1991", "wind_speed": 22.0, "terrain": "III", "mean_roof_height": 8000, "roof_form": "gable",
    "ground_snow": 850.0, "building": {"length": 300_000, "width": 600_000},
}  # fmt: skip


def job_document(modules: int, kind: str = "uniform") -> dict[str, object]:
    """A job of about so many modules.

    ``kind``: "uniform" (blocks of ten equal rows, two modules left out of each block), "varied" (every row of a length
    of its own), "loads" (uniform, wind and snow to be found), "open" (varied, bracket, rail, arrangement to be chosen).
    """
    columns = 250 if modules > 5_000 else 50
    arrays, slope = (_blocks if kind in {"uniform", "loads"} else _rows)(modules, columns)
    mounting = {"arrangement": "rail_on_side", "material": "aluminium", "rail_direction": "across_ribs",
                "bracket": "HB-A66", "rail": "HB-PA38"}  # fmt: skip
    return {
        "reference": f"BENCH-{modules}", "title": "Benchmark", "display_units": "metric",
        "customer": {"name": "Nobody"},
        "site": {"loads": EN_1991 if kind == "loads" else {"standard": "given"}},
        "module": {"name": "plain", "length": 2278, "width": 1134, "thickness": 35, "mass": 28.6, "power": 545},
        "roofs": [{
            "name": "South", "eave_length": 2_500 + columns * 1_160, "slope_length": slope + 2000, "slope": 6.0,
            "ribs": {"spacing": 250, "first_at": 125, "height": 35, "crown_width": 40, "web_angle": 60},
            "sheet": {"material": "steel", "thickness": 0.63, "ultimate_strength": 360},
            "arrays": arrays,
        }],
        "mounting": {} if kind == "open" else mounting,
    }  # fmt: skip


def _blocks(modules: int, columns: int) -> tuple[list[dict[str, object]], float]:
    arrays: list[dict[str, object]] = []
    y = 1000.0
    for number in range(max(1, modules // (columns * 10))):
        rows = min(10, max(1, modules // columns))
        left_out = [[rows // 2 + 1, 21], [rows // 2 + 1, 22]] if columns > 22 and modules > 100 else []
        arrays.append(_array(f"A{number + 1}", 1000.0, y, rows, min(columns, modules)) | {"omit": left_out})
        y += rows * 2300 + 1000
    return arrays, y


def _rows(modules: int, columns: int) -> tuple[list[dict[str, object]], float]:
    chance = random.Random(modules)
    arrays: list[dict[str, object]] = []
    y, left = 1000.0, modules
    while left > 0:
        width = min(left, chance.randint(3, columns))
        arrays.append(_array(f"R{len(arrays) + 1}", 1000.0 + chance.randint(0, 300), y, 1, width))
        left, y = left - width, y + 2400
    return arrays, y


def _array(name: str, x: float, y: float, rows: int, columns: int) -> dict[str, object]:
    return {"name": name, "x": x, "y": y, "rows": rows, "columns": columns, "orientation": "portrait",
            "gap_x": 20, "gap_y": 20}  # fmt: skip
