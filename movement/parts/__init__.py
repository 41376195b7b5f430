"""What a maker describes and gets back, one module per kind of part: JSON models over the rules of fit."""
