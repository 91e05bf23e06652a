"""The door of the start-line model."""

from collections.abc import Iterable
from copy import copy

from rangelog.bracketing.balls import Ball, Reading, checked_range
from rangelog.bracketing.chain import Carried, Chain, Now, untaught
from rangelog.bracketing.clubs import lent
from rangelog.bracketing.combining import ranked
from rangelog.bracketing.diagnosing import diagnosed, still
from rangelog.bracketing.memory import Memory, recalled, remembered
from rangelog.bracketing.placement import Placement, next_setting
from rangelog.bracketing.priors import GRIP_CENTRE, Priors
from rangelog.bracketing.verdicts import spoken
from rangelog.core import scales
from rangelog.core.errors import OffScale
from rangelog.core.hand import sign
from rangelog.core.results import Combination, Crossing, Diagnosis, Estimate, Setting
from rangelog.core.words import Hand, Lever, Verdict

_DRIFT_BALLS = 8
"""Balls of a session before its drift is looked at."""


class Bracket:
    """A player's start line, learned ball by ball.

    Every answer is for now: after the latest ball, in its session, with its club and stick, at ball position 0. Answers
    exist before the first ball, from the prior. The same balls give the same answers.

    Args:
        hand: "right" or "left", the side the player swings from.
        window, wide: edges of the classes, degrees.
        bow_range, grip_range: notches and degrees the player may be sent to; nothing is ever proposed outside.
        memory: what older sessions taught, from `memory()`.
        drift_deg_per_ball: scale of the slow drift within a session; 0 holds the line still.
        toe_heel: whether toe and heel balls take part in start fits; by default they do not.
        fit_position: whether balls away from position 0 take part, with the effect of ball position fitted; by default they do not.

    Raises:
        OffScale: a ValueError naming the field and its legal range, here and in every method.
    """

    def __init__(
        self,
        hand: Hand | str = "right",
        window: float = scales.DEFAULT_WINDOW_DEG,
        wide: float = scales.DEFAULT_WIDE_DEG,
        bow_range: tuple[float, float] = scales.BOW_RANGE,
        grip_range: tuple[float, float] = scales.GRIP_RANGE,
        memory: Memory | None = None,
        drift_deg_per_ball: float = 0.08,
        toe_heel: bool = False,
        fit_position: bool = False,
    ) -> None:
        self.hand = scales.word("hand", hand, Hand)
        self.window = scales.number("window", window, 0.1, 20.0, "deg")
        self.wide = scales.number("wide edge", wide, self.window, 45.0, "deg")
        if self.wide <= self.window:
            raise OffScale("wide edge", f"Wide edge runs from over {self.window:g} to 45 deg.")
        self.bow_range = checked_range("bow range", bow_range, scales.BOW_RANGE)
        self.grip_range = checked_range("grip range", grip_range, scales.GRIP_RANGE)
        drift = scales.number("drift", drift_deg_per_ball, 0.0, 1.0, "deg a ball")
        self.priors = Priors(drift_deg_per_ball=drift)
        self._reading = Reading(self.hand, self.window, self.wide, bool(toe_heel), bool(fit_position))
        self._sign = sign(self.hand)
        self._memory = memory
        self._chains: dict[str, Chain] = {}
        self._hit: dict[str, int] = {}
        self._latest: tuple[str, str, bool] | None = None
        self._last_setting: Setting | None = None

    def add(
        self,
        bow: float,
        grip: float,
        start: str | float | tuple[float, float],
        session: str,
        position: float = 0,
        club: str = "",
        stick: bool = True,
        strike: str | None = None,
        counted: bool = True,
        touched: bool = False,
    ) -> None:
        """Take one ball: its setting, what it did, and whether it counts.

        Args:
            start: class of the start direction, degrees with + = right of the line, or a pair of degrees it lies between.
            position: ball widths toward the target.
            strike: top and shank balls never enter a start fit, toe and heel by setting.
            counted: False for a ball with a reason against it; touched: the grip stick touched. Neither enters a fit.
        """
        label, name = str(session), str(club)
        time = self._hit.get(label, 0)
        ball = self._reading.ball(bow, grip, start, position, stick, strike, counted, touched, time)
        self._chain(name).add(label, ball)
        self._hit[label] = time + 1
        self._latest = (label, name, ball.stick)
        self._last_setting = Setting(ball.bow, ball.grip)

    def stand(self, *, session: str, club: str = "", stick: bool = True) -> None:
        """Say where the next ball will be hit, so that answers are for there; a ball that is added says it by itself."""
        self._latest = (str(session), str(club), bool(stick))

    def copy(self) -> "Bracket":
        """Another bracket that knows the same; what closed sessions taught is shared, since it never changes."""
        twin = copy(self)
        twin._chains = {name: chain.copy() for name, chain in self._chains.items()}
        twin._hit = dict(self._hit)
        return twin

    def bias(self, bow: float, grip: float) -> Estimate:
        """Mean start direction at a setting now: physical degrees (+ = right) with the 90 % interval of that mean."""
        return self._now().line(scales.grip(grip)).bias(self._bow(bow)).estimate(self._sign)

    def crossing(self, grip: float) -> Crossing:
        """The bow that starts a grip on line now: posterior median inside the bow range, and the 90 % interval."""
        return self._now().line(scales.grip(grip)).crossing(self.bow_range)

    def on_line_share(self, bow: float, grip: float) -> float:
        """Chance that the next counted ball at a setting starts inside the window."""
        return self._now().line(scales.grip(grip)).share(self._bow(bow), self.window)

    def verdict(self, bow: float, grip: float) -> Verdict:
        """What may be said of a setting's bias, as often as it is asked: "centred", "left", "right" or "undecided"."""
        return spoken(self._now().line(scales.grip(grip)).bias(self._bow(bow)), self.window, self.hand)

    def suggest(self, lever: Lever | str | None = Lever.BOW, grip: float | None = None, bow: float | None = None) -> Setting:
        """The setting to hit next, patience built in, always inside the ranges.

        Args:
            lever: "bow" moves bow at `grip`, "grip" moves grip at `bow`, None chooses. What is held defaults to the latest ball's.
        """
        which = None if lever is None else scales.word("lever", lever, Lever)
        held_grip = self._latest_grip() if grip is None else scales.grip(grip)
        held_bow = self._latest_bow() if bow is None else self._bow(bow)
        return next_setting(self._placement(), which, held_bow, held_grip)

    def combinations(self) -> list[Combination]:
        """Settings worth owning, best first: on-line share where it can be told apart, then strike, then distance from the ends."""
        return ranked(self._placement(), self._sign)

    def diagnosis(self, grip: float | None = None) -> Diagnosis:
        """What the model sees behind the start line at a grip, by default the latest ball's."""
        at = self._latest_grip() if grip is None else scales.grip(grip)
        place = self._placement()
        return diagnosed(place, self._freer(place), at, self._sign)

    def straight_line(self, grips: Iterable[float]) -> list[Crossing]:
        """Where each grip crosses the line: the line of straight combinations."""
        now = self._now()
        return [now.line(scales.grip(grip)).crossing(self.bow_range) for grip in grips]

    def bow_effect(self) -> Estimate:
        """Effect of one notch more bow on the start, physical degrees."""
        return self._now().line(self._latest_grip()).slope().estimate(self._sign)

    def memory(self) -> Memory:
        """What the balls have taught, small enough to keep: hand it to a new Bracket in place of the balls."""
        return remembered({name: (chain, self._taught(name)) for name, chain in self._chains.items()}, self._memory)

    def _chain(self, club: str) -> Chain:
        if club not in self._chains:
            recalled_start = recalled(self._memory, club)
            if recalled_start is None:
                self._chains[club] = Chain(self.priors, untaught(self.priors))
            else:
                self._chains[club] = Chain(self.priors, recalled_start[0], recalled_start[1], True)
        return self._chains[club]

    def _taught(self, club: str) -> Carried:
        """What a club's own balls hand on, its present session closed."""
        chain = self._chains[club]
        first = chain.start.over_grips() if chain.many_grips() else chain.start
        return chain.carried_before(list(chain.sessions), first)

    def _start(self, club: str) -> Carried:
        """What a club starts from: its memory, or the prior with the levers' effects lent by the other clubs."""
        chain = self._chain(club)
        if recalled(self._memory, club) is not None:
            return chain.start
        others = [(other, self._taught(name)) for name, other in self._chains.items() if name != club]
        return lent(chain.start, others, self._memory, club, self.priors)

    def _present(self) -> tuple[Chain, str | None, int, bool, Carried]:
        """The latest ball's chain, session, time and stick, and what its club starts from."""
        session, club, stick = self._latest if self._latest is not None else (None, self._only_club(), True)
        last = max(self._hit.get(session, 0) - 1, 0) if session is not None else 0
        return self._chain(club), session, last, stick, self._start(club)

    def _now(self) -> Now:
        chain, session, last, stick, start = self._present()
        return chain.now(session, last, stick, start)

    def _freer(self, place: Placement) -> Now | None:
        """Belief in a faster drift, once there are balls enough to show one and the usual drift has begun to follow something."""
        if self.priors.drift_deg_per_ball <= 0 or sum(ball.enters for ball in place.today) < _DRIFT_BALLS or still(place.now):
            return None
        chain, session, last, stick, start = self._present()
        return chain.freer(session, last, stick, start)

    def _only_club(self) -> str:
        known = self._memory.clubs if self._memory is not None else ()
        return known[-1].club if known else ""

    def _placement(self) -> Placement:
        chain, session, _, stick, _ = self._present()
        today: list[Ball] = chain.sessions.get(session, []) if session is not None else []
        return Placement(self._now(), chain, today, stick, self.window, self.wide, self.bow_range, self.grip_range, self._last_setting)

    def _bow(self, bow: float) -> float:
        return scales.number("bow", bow, *scales.BOW_RANGE)

    def _latest_grip(self) -> float:
        if self._last_setting is not None:
            return self._last_setting.grip
        return min(max(GRIP_CENTRE, self.grip_range[0]), self.grip_range[1])

    def _latest_bow(self) -> float:
        if self._last_setting is not None:
            return self._last_setting.bow
        return min(max(0.0, self.bow_range[0]), self.bow_range[1])
