"""Everything the review screens ask, of one book: read once in a thread of its own, then answered without the book."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, fields, replace
from datetime import date, timedelta
from pathlib import Path

from rangelog.core import hand as mirror
from rangelog.core.errors import OffScale
from rangelog.core.player import Club, Player, Prescription
from rangelog.core.results import Setting
from rangelog.core.session import Session
from rangelog.core.words import BlockKind, Surface, Swing
from rangelog.logbook import review
from rangelog.logbook.archive import Archive
from rangelog.logbook.review_answer import Answer
from rangelog.logbook.review_days import Day
from rangelog.logbook.review_filter import Filter
from rangelog.logbook.review_kept import Done
from rangelog.logbook.review_model import ModelReview, model_review
from rangelog.logbook.review_shown import Shown
from rangelog.logbook.review_spoken import spoken_lines
from rangelog.logbook.review_table import BallTable
from rangelog.logbook.review_tally import Tally
from rangelog.logbook.showing import AS_KEPT, Showing

MOST_DAYS = 120
"""Sessions in the day-to-day view: the latest."""

SPANS = ("26 weeks", "4 weeks", "last session", "")
"""Steps of the date filter, back from the last session; the last one is everything. The first is what a review opens with."""


@dataclass(slots=True)
class ReviewRoom:
    """One book, ready to be looked at.

    Attributes:
        path: its file; single sessions are read from it again when asked.
        player, prescription, clubs, sessions: as in the book, sessions oldest first.
        table: its balls since `since`, all of them where that is empty.
        since: first date that is in the table.
        model: what the model says; None until `think`, and where no ball enters.
        done: what was done under the prescription; None until `think`.
        pain: highest pain answered, None where it was never asked.
    """

    path: Path
    player: Player
    prescription: Prescription
    clubs: tuple[Club, ...]
    sessions: tuple[Session, ...]
    table: BallTable
    since: str = ""
    pain: int | None = None
    model: ModelReview | None = None
    done: Done | None = None

    @classmethod
    def open(cls, path: Path | str) -> "ReviewRoom":
        """Read the last weeks of a book, so that a first answer is there at once. Raises a StoreError where it cannot be read."""
        with Archive.look(path) as archive:
            levels = [
                int(answer)
                for form in archive.forms(name="pain")
                for answer in form.answers.values()
                if isinstance(answer, int | float) and not isinstance(answer, bool)
            ]
            sessions = tuple(archive.sessions(newest_first=False))
            since = _back(sessions, SPANS[0])
            return cls(
                archive.path,
                archive.player() or Player(id=""),
                archive.prescription() or Prescription(id=""),
                tuple(archive.clubs()),
                sessions,
                archive.table(since),
                since,
                max(levels, default=None),
            )

    def read_all(self) -> None:
        """Read the balls before the last weeks too."""
        with Archive.look(self.path) as archive:
            self.table, self.since = archive.table(), ""

    def think(self) -> None:
        """Ask the model of the last sessions, so that the map has its line. Slow where nothing was loaded yet."""
        with Archive.look(self.path) as archive:
            self.model = model_review(archive, self.player, self.prescription)
            self.done = archive.done_under(self.prescription, self.pain)

    @property
    def edges(self) -> tuple[float, float]:
        return self.prescription.window_deg, self.prescription.wide_deg

    def club_names(self) -> dict[str, str]:
        """Labels by id."""
        return {club.id: club.label for club in self.clubs}

    def words(self, chosen: Filter) -> str:
        """The filter in words."""
        return chosen.text(self.club_names())

    def span(self, span: str) -> Filter:
        """A filter for one of SPANS, counted back from the last session."""
        if not span or not self.sessions:
            return Filter()
        if span == "last session":
            return Filter(session_id=self.sessions[-1].id)
        return Filter(since=_back(self.sessions, span))

    def answer(self, view: str, chosen: Filter) -> Answer:
        """One of VIEWS for a filter; reads the older balls first where it needs them. Raises KeyError for an unknown name."""
        recent = chosen.session_id and self._day(chosen.session_id) >= self.since
        if self.since and not recent and chosen.since < self.since:
            self.read_all()
        return _ANSWERS[view](self, chosen)

    def shown(self, view: str, chosen: Filter, showing: Showing = AS_KEPT) -> Answer:
        """As answer, its numbers with the player's decimal sign."""
        return Shown(showing, self.club_names().values()).answer(self.answer(view, chosen))

    def spoken(self, view: str, chosen: Filter, showing: Showing = AS_KEPT) -> tuple[str, ...]:
        """As answer, in lines that read aloud: the question, n and filter, the sentence, then every row of numbers and the notes."""
        return spoken_lines(self.shown(view, chosen, showing))

    # what the views share

    def _settings(self, chosen: Filter) -> dict[Setting, Tally]:
        return self.table.settings(self.table.chosen(chosen), *self.edges)

    def _most_hit(self, chosen: Filter) -> Setting | None:
        found = self._settings(chosen)
        return max(found, key=lambda setting: (found[setting].n, setting)) if found else None

    def _day(self, session_id: str) -> str:
        return next((session.started_at[:10] for session in self.sessions if session.id == session_id), "")

    def _latest(self, chosen: Filter) -> str:
        """The latest session with a ball of a filter, empty where there is none."""
        hit = self.table.sessions(self.table.chosen(chosen))
        return next((session.id for session in reversed(self.sessions) if session.id in hit), "")


def _back(sessions: Sequence[Session], span: str) -> str:
    """The date some weeks before the last session; empty where there is none, or where its date is no date."""
    try:
        day = date.fromisoformat(sessions[-1].started_at[:10]) if sessions else date.min
        return (day - timedelta(weeks=int(span.split()[0]))).isoformat()
    except (ValueError, OverflowError):
        return ""


def _grid(room: ReviewRoom, chosen: Filter) -> Answer:
    line = room.model.line if room.model is not None and room.model.line else ()
    if room.model is not None and chosen.clubs and room.model.setup.club_id not in chosen.clubs:
        line = ()
    return review.grid(room._settings(chosen), room.words(chosen), line, *room.edges)


def _better(room: ReviewRoom, chosen: Filter) -> Answer:
    """The two settings with most balls among the four nearest to the line, so that two candidates are held against each other."""
    found = room._settings(chosen)
    near = sorted(
        (setting for setting, tally in found.items() if tally.seen),
        key=lambda setting: (-found[setting].on_line / found[setting].seen, setting),
    )[:4]
    pair = sorted(near, key=lambda setting: (-found[setting].n, setting))[:2]
    if len(pair) < 2:
        return review.Comparison("Is this combination really better?", 0, room.words(chosen), "Two settings with balls are needed.")
    return review.compare(pair[0], pair[1], found, room.words(chosen), *room.edges)


def _strips(room: ReviewRoom, chosen: Filter) -> Answer:
    return review.strips(room._settings(chosen), room.words(chosen), *room.edges)


def _spreads(room: ReviewRoom, chosen: Filter) -> Answer:
    return review.spreads(room._settings(chosen), room.words(chosen), *room.edges)


def _strikes(room: ReviewRoom, chosen: Filter) -> Answer:
    mask = room.table.chosen(chosen) & room.table.stated()
    groups = {
        (Setting(bow, grip), Surface(surface)): tally
        for (bow, grip, surface), tally in room.table.tallies(("bow", "grip", "surface"), mask, *room.edges).items()
    }
    return review.strikes(groups, room.words(chosen))


def _ladder(room: ReviewRoom, chosen: Filter) -> Answer:
    wanted = replace(chosen, blocks=frozenset({BlockKind.LADDER}))
    session = room._latest(wanted)
    if not session:
        return review.ladder([], room.words(wanted))
    with Archive.look(room.path) as archive:
        ladders = {block.id for block in archive.blocks(session) if block.kind is BlockKind.LADDER}
        balls = [
            ball for ball in archive.balls(session) if ball.block_id in ladders and wanted.keeps(ball, BlockKind.LADDER, room._day(session))
        ]
    clubs = {ball.setup.club_id for ball in balls}
    loft = next((club.loft_deg for club in room.clubs if clubs == {club.id}), None)
    return review.ladder(balls, f"{room.words(wanted)}, {room._day(session)}", loft)


def _course(room: ReviewRoom, chosen: Filter) -> Answer:
    session = room._latest(chosen)
    if not session:
        return review.course([], room.words(chosen), *room.edges)
    with Archive.look(room.path) as archive:
        kinds = {block.id: block.kind for block in archive.blocks(session)}
        day = room._day(session)
        balls = [ball for ball in archive.balls(session) if chosen.keeps(ball, kinds.get(ball.block_id), day)]
    return review.course(balls, f"{room.words(chosen)}, {day}", *room.edges)


def _days(room: ReviewRoom, chosen: Filter) -> Answer:
    setting = room._most_hit(chosen)
    if setting is None:
        return review.day_to_day([], "", room.words(chosen))
    mask = room.table.chosen(chosen) & room.table.at(setting)
    there = room.table.sessions(mask)
    hit = [session for session in room.sessions if session.id in there][-MOST_DAYS:]
    mask &= room.table.chosen(Filter(counted=None, since=hit[0].started_at[:10]))
    found = room.table.tallies(("session",), mask, *room.edges)
    days = [Day(session.started_at[:10], review.start_line(found[session.id,], *room.edges)) for session in hit]
    return review.day_to_day(days, f"grip {setting.grip:g}, bow {setting.bow:g}", room.words(chosen))


def _blocks(room: ReviewRoom, chosen: Filter) -> Answer:
    found = room.table.tallies(("block", "stick", "drawn"), room.table.chosen(chosen), *room.edges)
    return review.side_by_side(found, room.words(chosen), *room.edges)


def _stick(room: ReviewRoom, chosen: Filter) -> Answer:
    wanted = replace(chosen, stick=None)
    mask = room.table.chosen(wanted) & room.table.stated()
    found = room.table.tallies(("bow", "grip", "stick"), mask, *room.edges)
    both = [(bow, grip) for bow, grip, stick in found if stick and (bow, grip, False) in found]
    on, off = (review.together(found[bow, grip, stick] for bow, grip in both) for stick in (True, False))
    return review.stick_on_off(on, off, room.words(wanted), mirror.open_word(room.player.hand), *room.edges)


def _feel(room: ReviewRoom, chosen: Filter) -> Answer:
    return review.feel(room.table.felt(room.table.chosen(chosen), *room.edges), room.words(chosen), room.player.hand)


def _uncounted(room: ReviewRoom, chosen: Filter) -> Answer:
    kept, out = replace(chosen, counted=True), replace(chosen, counted=False)
    counted = room.table.tallies((), room.table.chosen(kept), *room.edges).get((), Tally())
    left_out = room.table.tallies((), room.table.chosen(out), *room.edges).get((), Tally())
    reasons = {reason: tally.n for (reason,), tally in room.table.tallies(("reason",), room.table.chosen(out), *room.edges).items()}
    return review.uncounted(counted, left_out, reasons, room.words(replace(chosen, counted=None)), *room.edges)


def _asked(room: ReviewRoom, chosen: Filter) -> Answer:
    done = room.done
    if done is None:
        with Archive.look(room.path) as archive:
            done = archive.done_under(room.prescription, room.pain)
    words = f"under version {room.prescription.version} of the prescription, counted or not"
    return review.asked_and_done(room.prescription, done, room.club_names().get(room.prescription.club_id, ""), words)


_ANSWERS: dict[str, Callable[[ReviewRoom, Filter], Answer]] = {
    "map": _grid,
    "better": _better,
    "starts": _strips,
    "spread": _spreads,
    "strike": _strikes,
    "height": _ladder,
    "course": _course,
    "days": _days,
    "tests": _blocks,
    "stick": _stick,
    "feel": _feel,
    "left out": _uncounted,
    "asked": _asked,
}

VIEWS = tuple(_ANSWERS)
"""Names of the views, in the order of the screen and of review_names.QUESTIONS."""


def steps(room: ReviewRoom) -> dict[str, tuple[tuple[str, Filter], ...]]:
    """Every choice of every part of the filter, as (word, a filter that holds only that part), the first what a review opens with."""
    return {
        "date": tuple((span or "all dates", room.span(span)) for span in SPANS),
        "club": (("all clubs", Filter()), *((club.label, Filter(clubs=frozenset({club.id}))) for club in room.clubs)),
        "surface": (("mat and turf", Filter()), *((surface.value, Filter(surface=surface)) for surface in Surface)),
        "stick": (("stick on and off", Filter()), ("stick on", Filter(stick=True)), ("stick off", Filter(stick=False))),
        "swing": (("all swings", Filter()), *((f"{swing} swing", Filter(swing=swing)) for swing in Swing)),
        "block": (("all blocks", Filter()), *((kind.value, Filter(blocks=frozenset({kind}))) for kind in BlockKind)),
        "counted": (("counted", Filter()), ("counted or not", Filter(counted=None)), ("uncounted", Filter(counted=False))),
    }


def filter_from(room: ReviewRoom, words: str) -> Filter:
    """The filter that a player says in words, parted by commas: "4 weeks, turf, stick off". What is not said is as a review opens.

    Raises OffScale for a word that is no choice of any part; it names all that are.
    """
    choices = steps(room)
    chosen = choices["date"][0][1]
    for word in filter(None, (" ".join(word.split()).casefold() for word in words.split(","))):
        # "stick off" is a choice of the stick; the block of that name is called with its kind
        found = [
            (part, only) for part, each in choices.items() for name, only in each if word in (name.casefold(), f"{name.casefold()} {part}")
        ]
        if not found:
            legal = ", ".join(name for each in choices.values() for name, _ in each)
            raise OffScale("filter", f"{word!r} is no part of a filter.", f"Parts are: {legal}.")
        part, only = found[0]
        said = {field.name: getattr(only, field.name) for field in fields(Filter) if getattr(only, field.name) != field.default}
        chosen = replace(chosen, **({"since": "", "session_id": ""} if part == "date" else {}) | said)
    return chosen
