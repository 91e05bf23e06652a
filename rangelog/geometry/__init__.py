"""Gate, wrist, loft, ball position, impact and body check: exact trigonometry, standard library only."""
