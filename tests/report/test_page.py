"""The coach's page: story of the retention test, one source for text and HTML, nothing in the book changed."""

import hashlib
import re
from collections.abc import Callable
from html.parser import HTMLParser
from pathlib import Path

import pytest
from scipy import stats
from statsmodels.stats.proportion import proportion_confint

from rangelog.core.errors import OffScale, Refused
from rangelog.core.session import Edit
from rangelog.core.words import BlockKind, Hand
from rangelog.logbook.archive import Archive
from rangelog.logbook.showing import Showing
from rangelog.report.collect import collect
from rangelog.report.html import html
from rangelog.report.page import Page, Section
from rangelog.report.text import text

NUMBER = re.compile(r"\d+(?:\.\d+)?")


def words_of(document: str) -> str:
    """What a reader of the HTML sees, tags away and entities resolved."""
    found: list[str] = []

    class Reader(HTMLParser):
        hidden = 0

        def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
            self.hidden += tag in {"style", "svg"}

        def handle_endtag(self, tag: str) -> None:
            self.hidden -= tag in {"style", "svg"}

        def handle_data(self, data: str) -> None:
            if not self.hidden:
                found.append(data)

    Reader().feed(document)
    return " ".join(" ".join(found).split())


def test_the_story_of_the_retention_test_reads_as_it_should(season) -> None:
    page = text(collect(season.archive))
    folded = " ".join(page.split())
    assert len(page.splitlines()) <= 60
    assert max(map(len, page.splitlines())) <= 100
    assert "Confirm, stick on: on line 15 of 20 (53-89 %)" in folded
    assert "Retention, stick off, random order: on line 6 of 10 (31-83 %)" in folded
    assert "6 of 10; not shown to differ from 15 of 20 (p = .43); stick and order also differ." in folded
    assert "Confirmed: grip 45, bow 1" in folded
    assert "Runner-up: grip 30, bow 2" in folded
    assert "Strike: grip 45, bow 1 better, 18 of 20 v 10 of 20 (p = .014)" in folded
    assert "Not known" in page
    assert [line[:5] for line in page.splitlines() if re.match(r"  \d\. ", line)] == ["  1. ", "  2. ", "  3. "]


def test_its_intervals_and_p_values_come_out_of_other_libraries() -> None:
    # Wilson 1927 as computed by statsmodels; Fisher's exact test as computed by scipy
    for hits, n, words in ((15, 20, "53-89"), (6, 10, "31-83"), (3, 10, "11-60")):
        low, high = proportion_confint(hits, n, method="wilson")
        assert f"{100 * low:.0f}-{100 * high:.0f}" == words
    assert f"{stats.fisher_exact([[6, 4], [15, 5]]).pvalue:.2f}" == "0.43"
    assert f"{stats.fisher_exact([[18, 2], [10, 10]]).pvalue:.3f}" == "0.014"


def test_opening_the_report_changes_no_byte_of_the_book(season) -> None:
    path = season.archive.path
    season.archive.close()
    before = hashlib.sha256(path.read_bytes()).digest()
    with Archive.look(path) as archive:
        html(collect(archive))
        text(collect(archive))
    assert hashlib.sha256(path.read_bytes()).digest() == before


def test_text_and_html_say_the_same_sentences(season) -> None:
    page = collect(season.archive)
    seen = words_of(html(page))
    for section in page.sections:
        for line in section.lines:
            assert " ".join(line.split()) in seen
    plain = " ".join(text(page).split())
    for section in page.sections:
        for line in section.lines:
            assert " ".join(line.split()) in plain


def test_nothing_is_graded(season) -> None:
    page = text(collect(season.archive)).casefold()
    for word in ("grade", "score", "out of 100", "good", "bad ", "excellent", "poor"):
        assert word not in page


def test_the_plain_page_is_printable_ascii_for_ascii_books(season) -> None:
    page = text(collect(season.archive))
    assert page.isascii()
    assert all(sign.isprintable() or sign == "\n" for sign in page)


def test_a_left_handed_page_mirrors_words_and_signs_and_keeps_every_size(new_story: Callable) -> None:
    right, left = new_story("anna"), new_story("linus", hand=Hand.LEFT)
    swap = str.maketrans("LlrR", "RrlL")
    for story, sign, sides in ((right, 1, lambda letters: letters), (left, -1, lambda letters: letters.translate(swap))):
        story.day(0)
        story.block(BlockKind.BASELINE, 0, 30, sides("Rrrrrroool"), solid=7)
        story.block(BlockKind.BOW_BRACKET, 0, 30, starts=tuple(sign * value for value in (6.0, 4.5, 7.5, 4.0)), solid=3)
        story.block(BlockKind.BOW_BRACKET, 4, 30, starts=tuple(sign * value for value in (-3.0, -6.5, -4.0, -4.5)), solid=3)
        story.block(BlockKind.CONFIRM, 2, 30, sides("oooooooooooooorrrrll"), solid=15)
    one, other = (text(collect(story.archive)) for story in (right, left))
    assert "the open side is left" in other
    assert "start +2.4 +-1.7" in one
    assert "start -2.4 +-1.7" in other
    # ends of an interval swap places in a mirror, so they are compared as a set of sizes; line breaks may fall elsewhere
    sizes = [sorted(NUMBER.findall(page)) for page in (one, other)]
    assert sizes[0] == sizes[1]
    assert one.count("to the left") == other.count("to the right") > 0


def test_words_of_the_player_are_escaped_in_the_html(new_story: Callable) -> None:
    attack = "<script>alert(1)</script> \" ' & <b> ]]> \x1b[31m \u202e"
    story = new_story("anna", text=attack, set_by="<img src=x onerror=1>")
    story.day(0)
    story.block(BlockKind.BASELINE, 0, 30, "rro", solid=3, note=attack)
    document = html(collect(story.archive))
    assert "<script" not in document
    assert "<img" not in document
    assert "\x1b" not in document
    assert "\u202e" not in document
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in document


def test_the_html_names_nothing_outside_itself(season) -> None:
    document = html(collect(season.archive))
    assert not re.search(r"(?:src|href|url)\s*[=(]", document)
    # the name of the SVG language is a name, never fetched
    assert set(re.findall(r"https?://[^\"' >]+", document)) == {"http://www.w3.org/2000/svg"}
    assert "default-src 'none'" in document


def test_every_picture_has_a_title_a_description_and_its_numbers_as_a_table(season) -> None:
    page = collect(season.archive)
    document = html(page)
    assert document.count('role="img"') == len(page.drawings)
    for drawing in page.drawings:
        assert f'<title id="{drawing.name}-title">' in document
        assert f'<desc id="{drawing.name}-desc">' in document
    assert document.count("<caption>") == len(page.drawings)


def test_an_empty_book_and_a_book_without_balls_are_told_kindly(new_story: Callable, tmp_path: Path) -> None:
    with Archive.take(tmp_path / "empty.book", daily_backup=False) as empty, pytest.raises(Refused, match="no ball to report"):
        collect(empty)
    story = new_story()
    story.day(0)
    page = text(collect(story.archive))
    assert "0 balls hit" in page
    assert "No confirm, stick-off, random or retention block yet." in page


def test_one_ball_makes_no_claim(new_story: Callable) -> None:
    story = new_story()
    story.day(0)
    story.block(BlockKind.BASELINE, 0, 30, "r")
    page = " ".join(text(collect(story.archive)).split())
    assert "1 ball, start not known, spread not known" in page
    assert "100 %" not in page


def test_uncounted_balls_are_counted_with_reasons_and_put_back(new_story: Callable) -> None:
    story = new_story()
    story.day(0)
    story.block(BlockKind.BASELINE, 0, 30, starts=(9.0, 9.5, 1.0, 0.0, -1.0, 2.0), uncounted=2)
    page = " ".join(text(collect(story.archive)).split())
    assert "4 counted, 2 not counted (2 interrupted)" in page
    # Student's t by scipy over the four, then over all six
    four, six = (1.0, 0.0, -1.0, 2.0), (9.0, 9.5, 1.0, 0.0, -1.0, 2.0)
    halves = [stats.t.ppf(0.95, len(balls) - 1) * stats.sem(balls) for balls in (four, six)]
    assert f"Mean start +0.5 +-{halves[0]:.1f}; with them put back +{sum(six) / 6:.1f} +-{halves[1]:.1f}" in page
    assert "More than 20 % of the balls are not counted." in page


def test_a_page_that_would_be_too_long_is_cut_and_says_so() -> None:
    sections = tuple(Section(f"Part {at}", tuple(f"Sentence {at} {line}." for line in range(12))) for at in range(8))
    lines = text(Page("Long", sections, (), 2.0)).splitlines()
    assert len(lines) == 60
    assert re.fullmatch(r"\d+ more lines are in the HTML page\.", lines[-1])
    assert [line for line in lines if line.startswith("Part")] == [f"Part {at}" for at in range(8)]


def test_relabelled_balls_are_listed_with_their_reason_until_they_are_put_back(season) -> None:
    archive = season.archive
    ball = archive.balls("session-0504")[4]
    at = ball.at
    archive.edit_balls([Edit("e1", ball.id, "grip", "30.0", "45.0", at, "forgot", "g1")])
    assert "Bow or grip re-labelled after the ball: 1 (forgot)." in text(collect(archive))
    archive.edit_balls([Edit("e2", ball.id, "grip", "45.0", "30.0", at, "undo", "g2", "g1")])
    assert "re-labelled" not in text(collect(archive))
    archive.edit_balls([Edit("e3", ball.id, "grip", "30.0", "45.0", at, "redo", "g3", "g1")])
    assert "Bow or grip re-labelled after the ball: 1 (forgot)." in text(collect(archive))


def test_words_that_could_steer_a_terminal_never_reach_the_plain_page(new_story: Callable) -> None:
    story = new_story("an\x1b[2Jna\u202e", text="before \x1b]0;title\x07 after\x9b31m")
    story.day(0)
    story.block(BlockKind.BASELINE, 0, 30, "rro")
    assert all(sign.isprintable() or sign == "\n" for sign in text(collect(story.archive)))


def test_a_first_date_is_checked_and_may_leave_nothing(season) -> None:
    with pytest.raises(OffScale, match="Since is a date"):
        collect(season.archive, "last week")
    later = text(collect(season.archive, "2026-05-10"))
    assert "1 session: 10 balls hit" in later
    assert "0 sessions: 0 balls hit" in text(collect(season.archive, "2030-01-01"))


def test_a_session_that_ended_tired_is_told_with_and_without_its_late_balls(new_story: Callable) -> None:
    story = new_story()
    story.day(0)
    story.block(BlockKind.BOW_BRACKET, 0, 30, "rrrRrrrorrrrRrrrrorr", solid=15)
    story.block(BlockKind.BOW_BRACKET, 4, 30, "lllLlllollllLlllloll", solid=14)
    story.block(BlockKind.BOW_BRACKET, 2, 30, "oorloorloorl", solid=4)
    page = " ".join(text(collect(story.archive)).split())
    # Fisher's exact test by scipy
    p = f"{stats.fisher_exact([[4, 8], [29, 11]]).pvalue:.3f}".lstrip("0")
    assert f"Tired at the end of 2026-05-04: 4 of 12 solid, was 29 of 40 (p = {p})" in page
    assert "Without those 12 balls one notch more bow moves the start " in page
    assert "52 counted, 0 not counted" in page


def test_the_page_takes_a_decimal_comma_in_words_tables_and_drawings(season) -> None:
    point, comma = collect(season.archive), collect(season.archive, showing=Showing(comma=True))
    told = words_of(html(comma))
    assert re.search(r"start [+-]\d,\d \+-\d,\d", told)
    assert "(p = 0,43)" in told
    assert not re.search(r"\d\.\d|[ =]\.\d", told)
    labels = re.findall(r"<text[^>]*>([^<]*)</text>", html(comma))
    assert any("," in label for label in labels)
    assert not any(re.search(r"\d\.\d", label) for label in labels)
    assert [len(section.lines) for section in point.sections] == [len(section.lines) for section in comma.sections]
    assert [re.sub(r"\d*[.,]\d+", "#", word) for word in text(point).split()] == [
        re.sub(r"\d*[.,]\d+", "#", word) for word in text(comma).split()
    ]
