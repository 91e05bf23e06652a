"""Every word of the log in one or two plain sentences, with small pictures in text where a picture says more."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Entry:
    """One word, what it means, and a picture in plain characters (empty where none helps)."""

    word: str
    meaning: str
    picture: tuple[str, ...] = ()


BOW_PICTURE = (
    "lead forearm and hand from the side, palm to the right, fingers down",
    "",
    "   bow 0              bow 5              bow -2",
    "     |                  |                  |",
    "     |  forearm         |                  |",
    "     |                  |                  |",
    "     + wrist            +                  +",
    "     |                   \\                /",
    "     |  hand              \\              /",
    "   a ruler             the most         the most cup, with the",
    "   lies flat           held comfortably  stick still off the arm",
)

GRIP_PICTURE = (
    "the player looks down the handle (o), target to the left, right-handed;",
    "the arrow is where the back of the lead hand faces",
    "",
    "   0 weak      30 neutral     60 strong     90 very strong",
    "                                 ^               ^",
    "                <__               \\              |",
    "   <---- o         `--- o          \\ o           o",
    "",
    "   stronger = clockwise; a left-handed player mirrors it",
    "   one step = 15 deg = about 3 mm on the handle",
)

STICK_PICTURE = (
    "the grip stick: the club's line carried on past the hands",
    "",
    "          stick   arm",
    "            \\      |",
    "             \\     |      clear of the lead arm: good to read",
    "              \\    |",
    "               \\   |",
    "                \\  |",
    "                 hands",
    "                   \\",
    "                    \\ club",
)

POSITION_PICTURE = (
    "ball position, target to the right, one o = one ball width",
    "",
    "   -2    -1     0    +1    +2",
    "    o     o     o     o     o   -> target",
    "        back  stock forward",
)

GLOSSARY: tuple[Entry, ...] = (
    Entry("hand", "Right- or left-handed player. The lead hand is stated apart, since some play cross-handed."),
    Entry(
        "start direction",
        "Where the ball starts against the aim line, just after it leaves the club; not where it ends. In degrees, + is right of the line.",
    ),
    Entry("open side, closed side", "For a right-hander open is right of the line and closed is left; mirrored for a left-hander."),
    Entry(
        "window",
        "How far from the line still counts as on line, 2 degrees unless you say so. Beyond 6 degrees it is far left or right.",
    ),
    Entry(
        "bow",
        "How far the lead wrist is bent toward the palm, by feel, in notches from -2 to 5. "
        "At 0 a ruler lies flat along forearm and back of the hand, 5 is the most you hold comfortably, "
        "-2 the most cup with the grip stick still clear of the arm.",
        BOW_PICTURE,
    ),
    Entry(
        "grip",
        "How far the lead hand is turned on the handle: weak 0, neutral 30, strong 60, very strong 90 degrees. "
        "Stronger is clockwise for a right-hander who looks down.",
        GRIP_PICTURE,
    ),
    Entry("ball position", "Where the ball lies, in ball widths from the club's stock place; + is toward the target.", POSITION_PICTURE),
    Entry("height", "Low, mid or high against one fixed mark behind the flight, the same mark all day."),
    Entry("strike", "How the club met the ball: solid, thin, fat, top, toe, heel or shank. Clean strike outranks direction."),
    Entry(
        "grip stick",
        "A stick held along the grip that must stay clear of the lead arm. For short, slow swings; off for full ones.",
        STICK_PICTURE,
    ),
    Entry("aim line", "The line on the ground that starts are read against. Without a stick it is a guess."),
    Entry(
        "curve", "What the ball does after its start: curved left, flew straight, curved right. That is path, not the face at the start."
    ),
    Entry("counted", "The ball takes part in the fit. It is left out only for a reason, and where it went is never one."),
    Entry("setting, combination", "One grip with one bow, while club, ball position, swing and grip stick are held."),
    Entry("bias", "The mean start direction of a setting, in degrees. It is what this drill brings to zero."),
    Entry("spread", "How widely the starts of one setting scatter around their mean, as a standard deviation in degrees."),
    Entry("crossing", "The bow at which a grip starts the ball on line, in notches, shown with its 90 % interval."),
    Entry("bracket", "Two tried settings that start on opposite sides of the line; the answer lies between them."),
    Entry("ladder", "The ball back, centre and forward in mixed order, to see whether height follows ball position."),
    Entry("block", "Consecutive balls with one purpose and a planned count."),
    Entry(
        "prescription",
        "What the coach or you asked for: club, swing, first lever, window, limits, ball cap, stop rules. A revision is a new version.",
    ),
    Entry("warm-up", "Short, easy balls before anything is asked. They enter no fit."),
    Entry("baseline", "Ten counted balls with nothing changed: the yardstick for better, tired and worth it."),
    Entry("bow bracket", "Least bow, most bow, then between them, with the grip held."),
    Entry("grip bracket", "Weak grip, strong grip, then between them, with the bow held."),
    Entry("choose", "Two combinations hit in turn, to see which one to own. Its balls are not used again to confirm."),
    Entry("confirm", "Fresh balls on the chosen combination, planned beforehand. No verdict before the planned count."),
    Entry("trajectory", "Low, stock and high on call: the height is named first, then hit."),
    Entry("carry-over", "The chosen combination with another club."),
    Entry("stick off", "The chosen combination without the grip stick: does it hold when nothing guards it?"),
    Entry("random", "A new target each ball, in an order that was drawn: nearer to play than one setting over and over."),
    Entry("free", "Balls without a question; they are kept as they are hit."),
    Entry("retention", "The first balls of another day, without rehearsal of the setting: learned, or borrowed?"),
    Entry("anchor", "A setting that is hit again now and then to see whether the feel has drifted."),
    Entry("felt bow", "What the bow felt like after the ball. What was meant before it stays as it was stated."),
    Entry("drift", "The start line moving within a session while bow and grip stay: a feel creeps, a stick is kicked."),
    Entry("fit", "The line that the log draws through your own balls: where you start at each bow and grip, and how surely."),
    Entry("90 % interval", "Ends between which the true value lies in nine of ten such cases. No end where the balls cannot tell."),
    Entry("launch, apex", "Launch is the angle at which the ball rises, in degrees; apex the height of its highest point."),
    Entry("offset", "How far beside a mark the ball passed, at a known distance: 2 m at 50 m left is 2.3 degrees left."),
    Entry("gate", "Two soft markers on the ground that the ball must pass between, a few metres ahead."),
    Entry("loft, lean", "Loft is how far the face looks up. Lean is how far the handle is ahead of the head, which takes loft off."),
    Entry("+-", "Half of a 90 % interval: what the balls so far leave open."),
)


def lookup(word: str) -> Entry | None:
    """The entry of a word, case folded; None where the glossary has none."""
    wanted = word.casefold().strip()
    return next((entry for entry in GLOSSARY if wanted in (part.strip() for part in entry.word.casefold().split(","))), None)


def lines() -> tuple[str, ...]:
    """The whole glossary as plain lines, pictures beneath their words."""
    out: list[str] = []
    for entry in GLOSSARY:
        out.append(f"{entry.word}: {entry.meaning}")
        out.extend(f"    {row}".rstrip() for row in entry.picture)
    return tuple(out)
