"""The kinds of parts as their pages ask for them and answer: one module per kind."""
