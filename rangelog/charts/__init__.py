"""Pictures of starts: filled into a plot that is handed in, and as SVG for the coach's page. Both draw the same shapes."""
