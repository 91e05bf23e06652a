"""Usual cautions, as lines to show. Not medical and not coaching advice."""

FIRST_START: tuple[str, ...] = (
    "These are usual cautions, not medical or coaching advice.",
    "Range staff and range rules come first.",
    "Stop on pain. Sharp, lasting or night pain, tingling, swelling: see a physician or physiotherapist.",
    "Little-finger-side wrist pain after fat balls: stop, get it seen.",
    "For technique ask a coach. A junior plays with a guardian present.",
    "Few balls at extremes. Never force bow past what is comfortable.",
    "A stick on the grip is for short, slow swings: bay clear, ends capped, check that it cannot come loose. Off for full swings.",
    "Gate sticks can throw a ball back: soft markers, to the side, nobody opposite; never walk out without leave of the staff.",
    "Look around before each rehearsal. Laptop beside and behind, out of swing and ricochet; no cable on a path.",
    "Mind heat, cold, lightning and water. Stop at tired; never past the ball cap or past pain.",
)

WARM_UP: tuple[str, ...] = ("Look around. Short and easy first.", "Pain now? Say so before the first ball.")

EXTREMES: tuple[str, ...] = (
    "Few balls at extremes, short swings, never when sore.",
    "Much bow with a weak grip is hard on the wrist. Do not force it past comfortable.",
)

RE_GRIP: tuple[str, ...] = ("Sole flat, leading edge square, then take the grip.", "Say the bow aloud, so that it stays.")

LADDER: tuple[str, ...] = (
    "Move the ball, not the stance; place it from a marked line.",
    "The start side moves a little by itself here: leave it.",
)

STICK: tuple[str, ...] = (
    "Stick on: short, slow swings, bay clear, ends capped. It can strike ribs, arm or face.",
    "Stick off for full swings.",
)

WHO_TO_SEE: tuple[str, ...] = (
    "The log gives no diagnosis and answers no medical question.",
    "Pain, tingling, swelling: a physician or physiotherapist. Technique: a coach. The range: its staff.",
)

JUNIOR: tuple[str, ...] = ("Fewer balls, lighter clubs, no extremes.", "An adult is present.")
