"""Drawings of parts: where everything stands, as numbers for _drawing.html; one module per picture."""
