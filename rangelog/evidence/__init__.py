"""What counts and numbers can and cannot show: intervals, rank tests, control charts, the height ladder and strike."""
