"""Every word of the log, in one line each, with a small drawing where a drawing says it sooner."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Entry:
    """One word.

    Attributes:
        word: as it stands on the screen.
        meaning: one or two short sentences.
        drawing: lines of plain text.
    """

    word: str
    meaning: str
    drawing: tuple[str, ...] = ()


ENTRIES: tuple[Entry, ...] = (
    Entry("start", "The direction the ball starts in, against the aim line. Left and right are as seen from behind the ball."),
    Entry(
        "window", "How far from the line still counts as on line: 2 degrees unless you say otherwise.",
        ("far left   left  | on line |  right   far right", "       -6     -2       0       +2     +6       degrees"),
    ),
    Entry("open side", "Right of the line for a right-hander, left for a left-hander. The closed side is the other one."),
    Entry(
        "bow", "How much the lead wrist is bowed, felt, in notches -2 to 5. Half notches are fine.",
        (
            "bow 0    forearm ______ back of hand      a ruler lies flat along both",
            "bow 5    forearm ____                     the most bow you can hold in comfort",
            "                      \\__ back of hand",
            "                       __ back of hand",
            "bow -2   forearm ____/                    the most cup with the grip stick still clear of the arm",
        ),
    ),
    Entry(
        "grip", "How far the lead hand is turned on the handle, in degrees. One step is 15 degrees, about 3 mm on the handle.",
        ("weaker -15    weak 0    neutral 30    strong 60    very strong 90",),
    ),
    Entry(
        "grip stick", "A stick held along the grip, running up past the lead side. It must stay clear of the lead arm. Off for full swings.",
        ("    lead arm  /   | stick", "             /    |        clear: daylight between the two", "            /_____|", "             hands"),
    ),
    Entry("ball position", "In ball widths from the club's stock position; forward is toward the target."),
    Entry("height", "Low, mid or high against one fixed mark in the background, the same mark all day."),
    Entry("strike", "Solid, thin, fat, top, toe, heel or shank."),
    Entry("touched", "The grip stick touched arm or body."),
    Entry("aim line", "The line on the ground that starts are read against."),
    Entry("counted", "The ball takes part in the fits. It can be left out for a reason; where it went is never one."),
    Entry("combination", "One grip and one bow, with club, ball position, swing and stick held."),
    Entry("bias, spread", "Where a combination starts the ball on average, and how widely its balls lie about that."),
    Entry("crossing", "The bow at which a grip starts the ball on line, with its band."),
    Entry("bracket", "Two tried bows on opposite sides of the line. The crossing lies between them."),
    Entry("block", "Consecutive balls with one purpose."),
    Entry("ladder", "Balls played back, centre and forward, read for height."),
    Entry("± numbers", "Always the 90 % interval."),
)  # fmt: skip
