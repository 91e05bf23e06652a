"""The data goes anywhere and comes back: JSON Lines, CSV, foreign tables, and the merge of two laptops' books."""
