"""Scraps pieced edge to edge under a template."""
