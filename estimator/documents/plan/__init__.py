"""The plan of the roofs, as a drawing for the screen (SVG) and for a drawing program (DXF)."""
