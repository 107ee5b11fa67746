"""The editions of ASCE 7, and the units it is written in."""

from __future__ import annotations

from typing import Literal

Edition = Literal["7-16", "7-22"]

FT_MM = 304.8
