"""A mark for an invented house, drawn here: three bars and a ridge, neutral, nobody's."""

import io

from PIL import Image, ImageDraw


def drawn(size=(320, 120), mode="RGB") -> Image.Image:
    """The mark as a picture."""
    wide, high = size
    image = Image.new(mode, size, "white" if mode != "L" else 255)
    pen = ImageDraw.Draw(image)
    blue, ochre = ("#1f4e6f", "#b0641c") if mode.startswith("RGB") else (60, 140)
    for bar in range(3):
        left = wide * (1 + 3 * bar) // 10
        pen.rectangle((left, high // 2, left + wide // 6, high - high // 8), fill=blue)
    pen.polygon([(wide // 20, high // 2 - 4), (wide // 2, high // 10), (wide * 19 // 20, high // 2 - 4)], fill=ochre)
    return image


def a_mark(kind="PNG", size=(320, 120), mode="RGB") -> bytes:
    """The mark as a file."""
    out = io.BytesIO()
    drawn(size, mode).save(out, kind)
    return out.getvalue()
