"""The rules of fit, one module per kind of part."""
