"""How solid wood moves with the seasons, and the fits that let it."""
