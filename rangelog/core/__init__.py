"""The words of the trade as frozen records and pure functions. Standard library only."""
