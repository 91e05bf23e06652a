"""What the start-line model says offline: the straight line, the effects of both levers, and the combinations worth owning."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from rangelog.core.picture import BandPoint
from rangelog.core.player import Player, Prescription
from rangelog.core.results import Combination, Diagnosis, Estimate, Setting
from rangelog.core.setup import Setup
from rangelog.logbook.review_settings import line_points
from rangelog.logbook.start_line import SESSIONS_EXACT, StartLine
from rangelog.store import Book

HALF_NOTCH = 0.5
"""As near to a combination as a player can set the bow."""


@dataclass(frozen=True, slots=True)
class ModelReview:
    """The model after the last ball of the last session with a stated setup, for its club, swing and stick.

    Attributes:
        setup: what the answers are for.
        line: the straight combinations over the grips that were tried.
        diagnosis: effects of the levers, and whether they were moved so that they can be known.
        combinations: best first, to the tenth of a notch.
        shares: on-line share now of every setting that was tried; biases: its mean start now.
        bias: of the setting of `setup`.
    """

    setup: Setup
    line: tuple[BandPoint, ...]
    diagnosis: Diagnosis
    combinations: tuple[Combination, ...]
    bias: Estimate
    shares: Mapping[Setting, float]
    biases: Mapping[Setting, Estimate]

    def first_of(self, tried: Collection[Setting]) -> Setting | None:
        """The setting among some that lies nearest, within half a notch, to the first combination beside which there is one."""
        for each in self.combinations:
            near = [setting for setting in tried if setting.grip == each.grip and abs(setting.bow - each.bow) <= HALF_NOTCH]
            if near:
                return min(near, key=lambda setting: (abs(setting.bow - each.bow), setting.bow))
        return None

    def reason(self, grip: float) -> str:
        """Why the combination of a grip stands where it does; empty where there is none."""
        return next((each.reason for each in self.combinations if each.grip == grip), "")


def model_review(
    book: Book,
    player: Player,
    prescription: Prescription,
    club_id: str = "",
    stick: bool | None = None,
    without: Collection[str] = (),
) -> ModelReview | None:
    """Ask the model of the last sessions.

    Args:
        book: the open book.
        player, prescription: whose, and with which window, edges and limits.
        club_id: answer for this club, where balls of it are there; the last club else.
        stick: answer for the stick on or off; as in the last ball where None.
        without: ids of balls to leave out.

    Returns:
        None where no ball of the last sessions enters.
    """
    balls = [ball for ball in book.recent_balls(SESSIONS_EXACT) if ball.id not in without]
    entering = [ball for ball in balls if ball.enters_fits]
    mine = [
        ball for ball in entering if (not club_id or ball.setup.club_id == club_id) and (stick is None or ball.setup.stick == stick)
    ] or entering
    if not mine:
        return None
    last = mine[-1]
    setup = last.setup
    assert setup.bow is not None
    assert setup.grip is not None
    bracket = StartLine(player, prescription, prescription.bow_range()).learn(balls, setup, last.session_id)
    same = [ball for ball in mine if ball.setup.club_id == setup.club_id and ball.setup.swing == setup.swing]
    grips = sorted({ball.setup.grip for ball in same if ball.setup.grip is not None})
    tried = sorted({ball.setup.setting for ball in same if ball.setup.setting is not None})
    return ModelReview(
        setup,
        line_points(grips, bracket.straight_line(grips)),
        bracket.diagnosis(setup.grip),
        tuple(bracket.combinations()),
        bracket.bias(setup.bow, setup.grip),
        {setting: bracket.on_line_share(setting.bow, setting.grip) for setting in tried},
        {setting: bracket.bias(setting.bow, setting.grip) for setting in tried},
    )
