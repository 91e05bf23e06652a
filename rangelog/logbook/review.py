"""The questions of a review and what answers them: pure functions from balls, or from their tallies, to small frozen answers."""

from rangelog.logbook.review_answer import Answer
from rangelog.logbook.review_blocks import Condition, SideBySide, StickReview, condition, side_by_side, stick_on_off
from rangelog.logbook.review_days import Day, DayToDay, day_to_day
from rangelog.logbook.review_feel import FeelReview, feel
from rangelog.logbook.review_filter import EVERYTHING, Filter
from rangelog.logbook.review_kept import AskedAndDone, Done, Uncounted, asked_and_done, uncounted
from rangelog.logbook.review_ladder import LadderReview, ladder
from rangelog.logbook.review_session import Course, Summary, course, degrees_of, summary
from rangelog.logbook.review_settings import Cell, Comparison, Grid, Spreads, Strips, compare, grid, line_points, spreads, strips
from rangelog.logbook.review_start import StartLine, start_line
from rangelog.logbook.review_strike import StrikeReview, strikes
from rangelog.logbook.review_tally import Tally, by_setting, tally, together

__all__ = [
    "EVERYTHING",
    "Answer",
    "AskedAndDone",
    "Cell",
    "Comparison",
    "Condition",
    "Course",
    "Day",
    "DayToDay",
    "Done",
    "FeelReview",
    "Filter",
    "Grid",
    "LadderReview",
    "SideBySide",
    "Spreads",
    "StartLine",
    "StickReview",
    "StrikeReview",
    "Strips",
    "Summary",
    "Tally",
    "Uncounted",
    "asked_and_done",
    "by_setting",
    "compare",
    "condition",
    "course",
    "day_to_day",
    "degrees_of",
    "feel",
    "grid",
    "ladder",
    "line_points",
    "side_by_side",
    "spreads",
    "start_line",
    "stick_on_off",
    "strikes",
    "strips",
    "summary",
    "tally",
    "together",
    "uncounted",
]
