"""The plan of the roofs, as a drawing for the screen (SVG) and for a drawing program (DXF)."""

from estimator.documents.plan.paper import PAPER as PAPER
