"""Shapes in the plane: edges, outlines with named edges, offsets, regions. Millimetres; knows no bags."""
