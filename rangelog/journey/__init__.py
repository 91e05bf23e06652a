"""The way from the prescription to the retention test: block kinds, plans, orders and forms as data. Knows only the core."""
