"""A hint for balls that are in no book: the same rules, asked once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rangelog.core import scales
from rangelog.core.ball import Ball
from rangelog.core.errors import Refused
from rangelog.core.player import Player, Prescription
from rangelog.core.results import Crossing, Diagnosis, Estimate, Hint
from rangelog.core.words import Hand, Lever, Strike, Verdict
from rangelog.evidence import charts
from rangelog.hints.rules import choose
from rangelog.logbook.facts import Evidence, gather
from rangelog.logbook.start_line import StartLine


@dataclass(frozen=True, slots=True)
class Advice:
    """What the rules and the model say after the last ball.

    Attributes:
        hint: what to do next.
        balls: balls read; fitted: those that enter the fit of the present set.
        crossing, bias, on_line_share, verdict: of the model, at the setting of the last ball; None where no setting was stated.
        diagnosis: effects and spread.
    """

    hint: Hint
    balls: int
    fitted: int
    crossing: Crossing | None
    bias: Estimate | None
    on_line_share: float | None
    verdict: Verdict | None
    diagnosis: Diagnosis | None


def advise(
    balls: Sequence[Ball],
    *,
    hand: Hand = Hand.RIGHT,
    window_deg: float = scales.DEFAULT_WINDOW_DEG,
    wide_deg: float = scales.DEFAULT_WIDE_DEG,
    wrist_limit_bow: float | None = None,
    lever: Lever = Lever.BOW,
) -> Advice:
    """The hint after the last of some balls, oldest first.

    Raises:
        Refused: no balls.
    """
    if not balls:
        raise Refused("There are no balls to speak of.", "Give one JSON object a line.")
    last = balls[-1]
    player = Player("", hand=hand, lead_hand=hand.other)
    prescription = Prescription(
        "", first_lever=lever, window_deg=window_deg, wide_deg=wide_deg, wrist_limit_bow=wrist_limit_bow, ball_cap=200
    )
    line = StartLine(player, prescription, prescription.bow_range())
    bracket = line.learn(balls, last.setup, last.session_id)
    today = [ball for ball in balls if ball.session_id == last.session_id]
    solid = [None if ball.strike is None else ball.strike is Strike.SOLID for ball in today]
    evidence = Evidence(tired=charts.tired(solid), gate=charts.strike_gate(solid))
    facts = gather(player=player, prescription=prescription, setup=last.setup, balls=today, model=bracket, evidence=evidence)
    setting, model = last.setup.setting, facts.model
    return Advice(
        hint=choose(facts),
        balls=len(balls),
        fitted=sum(tried.n for tried in facts.tried),
        crossing=model.crossing if model else None,
        bias=model.bias if model else None,
        on_line_share=bracket.on_line_share(setting.bow, setting.grip) if setting else None,
        verdict=model.verdict if model else None,
        diagnosis=model.diagnosis if model else None,
    )
