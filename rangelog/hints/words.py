"""How numbers and sides read in every hint: one format, physical left and right, +- always 90 %."""

from rangelog.core.ball import Ball
from rangelog.core.hand import side_word
from rangelog.core.results import Estimate, Setting, Share
from rangelog.core.scales import side_of
from rangelog.core.words import Side

RIGHT_SIDES = frozenset({Side.RIGHT, Side.FAR_RIGHT})
LEFT_SIDES = frozenset({Side.LEFT, Side.FAR_LEFT})


def notch(bow: float) -> str:
    """A bow without a needless ".0": "2", "2.5", "-2"."""
    return f"{bow + 0.0:g}" if bow else "0"


def grip_deg(grip: float) -> str:
    """A grip in whole degrees where it is whole: "45"."""
    return f"{grip:g}" if grip else "0"


def deg(value: float) -> str:
    """Degrees with one decimal, never "-0.0"."""
    text = f"{value:.1f}"
    return "0.0" if text == "-0.0" else text


def signed(value: float) -> str:
    """Degrees with one decimal and a sign: "+2.4", "-1.0", "0.0"."""
    text = deg(value)
    return f"+{text}" if value > 0 and text != "0.0" else text


def sided(value: float) -> str:
    """Degrees with a physical side: "2.4 right"."""
    text = deg(abs(value))
    return "on line" if text == "0.0" else f"{text} {side_word(value)}"


def about(value: float) -> str:
    """A direction for a sentence, in whole degrees: "6 right"."""
    whole = round(abs(value))
    return "on line" if whole == 0 else f"{whole} {side_word(value)}"


def plus_minus(half_width: float) -> str:
    """The 90 % half-width: "+-1.7"."""
    return f"+-{deg(half_width)}"


def estimate(value: Estimate) -> str:
    """Mean with its 90 % half-width: "+2.4 +-1.7"."""
    return f"{signed(value.mean)} {plus_minus(value.half_width)}"


def spanned(value: Estimate) -> str:
    """Mean with the ends of its 90 % interval: "+0.3 (-0.8..1.4)"."""
    return f"{signed(value.mean)} ({deg(value.low)}..{deg(value.high)})"


def p_value(p: float) -> str:
    """A probability of a test with two significant digits: ".43", ".014", ".02", "< .001"."""
    if p < 0.001:
        return "< .001"
    for places in (2, 3, 4):
        if p >= 10.0 ** (1 - places):
            return f"{p:.{places}f}".rstrip("0").lstrip("0") if p < 0.995 else "1"
    return f"{p:.4f}".rstrip("0").lstrip("0")


def percents(share: Share) -> str:
    """The interval of a share in per cent: "11-60 %"."""
    return f"{round(100 * share.low)}-{round(100 * share.high)} %"


def counted_share(share: Share) -> str:
    """A share with its interval: "3 of 10 (11-60 %)"."""
    return f"{share.hits} of {share.n} ({percents(share)})"


def in_ten(share: float) -> str:
    """A chance as a count in ten: "about 5 in 10"."""
    return f"about {min(10, max(0, round(10 * share)))} in 10"


def balls(n: int) -> str:
    """ "1 ball", "2 balls"."""
    return "1 ball" if n == 1 else f"{n} balls"


def listed(items: tuple[str, ...], joint: str = "and") -> str:
    """ "grip", "grip and bow", "club, bow and grip"."""
    if len(items) < 2:
        return "".join(items)
    return f"{', '.join(items[:-1])} {joint} {items[-1]}"


def setting(value: Setting) -> str:
    """A combination in words: "bow 2, grip 30"."""
    return f"bow {notch(value.bow)}, grip {grip_deg(value.grip)}"


def move(now: Setting | None, then: Setting) -> str:
    """The large letters for going from one setting to another: "BOW 2", "GRIP 45", "BOW 1 GRIP 45"."""
    if now is None or (now.bow != then.bow and now.grip != then.grip):
        return f"BOW {notch(then.bow)} GRIP {grip_deg(then.grip)}"
    if now.grip != then.grip:
        return f"GRIP {grip_deg(then.grip)}"
    return f"BOW {notch(then.bow)}"


def side_of_ball(ball: Ball, window_deg: float, wide_deg: float) -> int:
    """+1 right, -1 left, 0 on line or not seen; from the corrected number where there is one.

    A class is shifted with the aim correction by the middle of its interval, so that a corrected class never keeps its old side.
    """
    side = ball.shown_side(window_deg, wide_deg)
    if side is None:
        return 0
    if ball.start_deg is None and ball.aim_correction_deg:
        middle = {Side.FAR_LEFT: -wide_deg - 2, Side.LEFT: -(window_deg + wide_deg) / 2, Side.ON_LINE: 0.0}
        middle |= {Side.RIGHT: (window_deg + wide_deg) / 2, Side.FAR_RIGHT: wide_deg + 2}
        side = side_of(middle[side] - ball.aim_correction_deg, window_deg, wide_deg)
    return 1 if side in RIGHT_SIDES else -1 if side in LEFT_SIDES else 0
