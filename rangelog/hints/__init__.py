"""The ordered rules of the live hint: facts in, one hint out. Knows only the core."""
