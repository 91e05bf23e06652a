"""What counts and numbers can and cannot show: intervals, rank tests, control charts, the height ladder, strike. numpy and scipy.special."""
