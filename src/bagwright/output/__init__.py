"""Drawings: one description in mm on paper, and the writers that turn it into SVG, PDF and DXF."""
