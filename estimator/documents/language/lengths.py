"""Lengths as a crew reads them off a tape: whole millimetres, or feet, inches and sixteenths."""

from __future__ import annotations

import math
from fractions import Fraction

SIXTEENTHS_PER_INCH = 16
MM_PER_INCH = Fraction(254, 10)


def whole_mm(mm: float) -> int:
    """To the nearest millimetre, halves up.

    >>> whole_mm(1812.5), whole_mm(-0.2)
    (1813, 0)
    """
    return math.floor(mm + 0.5 + 1e-9)


def feet_and_inches(mm: float) -> str:
    r"""Feet, inches and reduced sixteenths, as drawings in the United States write them; halves up.

    Source: exact inch of 25.4 mm, NIST SP 811; the notation is common practice, no source.

    >>> feet_and_inches(304.8), feet_and_inches(1812.925), feet_and_inches(31.75), feet_and_inches(0.0)
    ('1\'-0"', '5\'-11 3/8"', '1 1/4"', '0"')
    """
    sixteenths = math.floor(float(Fraction(abs(mm)) / MM_PER_INCH) * SIXTEENTHS_PER_INCH + 0.5 + 1e-9)
    feet, rest = divmod(sixteenths, 12 * SIXTEENTHS_PER_INCH)
    inches, part = divmod(rest, SIXTEENTHS_PER_INCH)
    fraction = Fraction(part, SIXTEENTHS_PER_INCH)
    small = f"{fraction.numerator}/{fraction.denominator}" if part else ""
    sign = "-" if mm < 0 and sixteenths else ""
    if feet:
        return f"{sign}{feet}'-{inches}{' ' + small if small else ''}\""
    if inches or not small:
        return f'{sign}{inches}{" " + small if small else ""}"'
    return f'{sign}{small}"'
