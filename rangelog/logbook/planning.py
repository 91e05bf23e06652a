"""Blocks, forms and pain: where the visit stands in the journey, and what comes next."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any
from zlib import crc32

from rangelog.core import scales
from rangelog.core.ball import Ball
from rangelog.core.errors import OffScale, Refused
from rangelog.core.results import Setting
from rangelog.core.session import Block, Form, Pain
from rangelog.core.setup import Setup
from rangelog.core.words import BlockKind, CheckAnswer, PainSite, Swing
from rangelog.hints import limits
from rangelog.hints.confirm import found
from rangelog.hints.facts import EXTREME_BALLS, MOST_BOW, Facts
from rangelog.journey import cautions, forms, order
from rangelog.journey.forms import Answer, FormKind
from rangelog.journey.kinds import KINDS, planned_count
from rangelog.journey.plan import Next, Progress, plan_lines, propose
from rangelog.logbook.desk import Desk
from rangelog.logbook.view import Echo

SESSIONS_LOOKED_BACK = 20
AGAIN_AFTER_DAYS = 7
"""A retention test is asked for again this many days after the confirm."""

TARGETS = ("left mark", "middle mark", "right mark")
"""Names of three marks on the range for a random order; what they are is the player's choice."""


@dataclass(frozen=True, slots=True)
class Known:
    """What the model and today's balls say that the plan needs; unknown while the model is not loaded."""

    crossing_known: bool = False
    on_line: tuple[Setting, ...] = ()
    spread_deg: float | None = None
    body_failed: bool = False

    def same_way_as(self, other: Known) -> bool:
        """Whether the plan would go on alike: of the spread only the count of fresh balls it asks for matters."""
        mine, theirs = (replace(each, spread_deg=planned_count(BlockKind.CONFIRM, spread_deg=each.spread_deg)) for each in (self, other))
        return mine == theirs


class Planning:
    """The journey, as the blocks and forms of the book tell it."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._earlier: list[Block] | None = None
        self.known = Known()
        self._finished: BlockKind | None = None
        self._found = ""

    # where the journey stands

    def earlier(self) -> list[Block]:
        """Blocks of the last sessions before this one, oldest first."""
        if self._earlier is None:
            desk = self._desk
            now = desk.session.id if desk.session else ""
            past = [session for session in desk.book.sessions(limit=SESSIONS_LOOKED_BACK + 1) if session.id != now]
            self._earlier = [block for session in reversed(past) for block in desk.book.blocks(session.id)]
        return self._earlier

    def forget(self) -> None:
        """Another session: earlier blocks are read anew."""
        self._earlier = None

    def last_confirm(self) -> Block | None:
        """The latest confirm that ended centred; a later one that did not takes its place."""
        ended = [b for b in (*self.earlier(), *self._desk.blocks) if b.kind is BlockKind.CONFIRM and b.outcome not in ("", "abandoned")]
        return ended[-1] if ended and ended[-1].outcome == "centred" else None

    def pains(self) -> list[Pain]:
        """Today's pain answers, in order."""
        found = []
        asked = False
        for form in self._desk.forms:
            if form.name != "pain" or not form.complete:
                continue
            for site in PainSite:
                level = form.answers.get(site.value)
                if level is not None:
                    bow = form.answers.get("bow")
                    sharp = bool(form.answers.get("sharp")) and float(level) > 0
                    found.append(
                        Pain(site, int(level), sharp, form.after_seq, None if bow is None else float(bow), not asked and not form.after_seq)
                    )
            asked = True
        return found

    def progress(self) -> Progress:
        """The journey so far, for the plan."""
        desk = self._desk
        prescription = desk.known_prescription()
        player = desk.known_player()
        pains = self.pains()
        confirm = self.last_confirm()
        blocks = [*self.earlier(), *desk.blocks]
        tests = [b for b in blocks if b.kind is BlockKind.RETENTION and b.outcome == "done"]
        after = [b for b in tests if confirm is not None and b.started_at > confirm.ended_at]
        days = self._days_since(confirm.ended_at) if confirm is not None else None
        late = [b for b in after if confirm is not None and _days(confirm.ended_at, b.started_at) >= AGAIN_AFTER_DAYS - 1]
        risen = limits.risen(pains)
        return Progress(
            ball_cap=prescription.ball_cap,
            hit_today=len(desk.standing),
            done_today=tuple(b.kind for b in desk.blocks if b.outcome not in ("", "abandoned")),
            done_before=frozenset(b.kind for b in self.earlier() if b.outcome not in ("", "abandoned")),
            first_lever=prescription.first_lever,
            extremes_off=limits.extremes_off(prescription, pains, player.junior),
            bow_stopped=risen is not None,
            pain_stopped=limits.stopping(pains) is not None,
            body_failed=self.known.body_failed or self._body_failed(),
            crossing_known=self.known.crossing_known,
            grip_known=any(b.kind is BlockKind.GRIP_BRACKET and b.outcome == "done" for b in blocks),
            on_line_settings=len(self.known.on_line),
            chosen=any(b.kind is BlockKind.CHOOSE and b.outcome == "done" for b in blocks),
            confirmed=confirm is not None,
            days_since_confirm=days,
            retained=bool(after),
            retention_due=days is not None and days >= AGAIN_AFTER_DAYS and not late,
            spread_deg=self.known.spread_deg,
            swing_short=desk.state.setup.swing is Swing.SHORT,
            other_clubs=len(desk.clubs) - 1,
            junior=player.junior,
        )

    def _days_since(self, at: str) -> int:
        return max(0, (self._desk.now().date() - datetime.fromisoformat(at).date()).days)

    def _body_failed(self) -> bool:
        body = [form for form in self._desk.forms if form.name == "body" and form.complete]
        return bool(body) and CheckAnswer.FAIL.value in body[-1].answers.values()

    def proposed(self) -> Next:
        """The next block and why."""
        return propose(self.progress())

    def plan_today(self) -> tuple[str, ...]:
        """The plan for today, in lines."""
        return plan_lines(self.progress())

    # blocks

    def start_block(self, kind: BlockKind | str, planned: int | None = None) -> Echo:
        """Begin a block; the one that runs is ended first, and keeps its balls.

        Raises:
            OffScale: no such kind, or a count outside 1-200. Refused: no session, or today's limits do not allow it.
        """
        desk = self._desk
        if desk.session is None:
            raise Refused("No session runs.", "Start one first.")
        word = scales.word("block", kind, BlockKind)
        self._allowed(word)
        count = planned_count(word, spread_deg=self.known.spread_deg, junior=desk.known_player().junior) if planned is None else planned
        if count != 0 or planned is not None:
            scales.number("planned balls", count, 0 if word is BlockKind.FREE else 1, 200)
        seq = len(desk.blocks) + 1
        seed = crc32(f"{desk.session.id} {seq}".encode())
        steps = self._drawn(word, count, seed)
        self.end_open_block()
        block = Block(
            id=self._desk.new_id(),
            session_id=desk.session.id,
            seq=seq,
            kind=word,
            planned=count,
            started_at=desk.at(),
            seed=seed if KINDS[word].drawn else None,
            plan=order.to_text(steps),
        )
        state = desk.state.stating(self._stepped(steps[0])) if steps else desk.state
        rows = state.as_rows()
        saved = desk.write(lambda book: book.start_block(block, state=rows))
        desk.blocks.append(block)
        desk.state = state
        caution = f" {KINDS[word].cautions[0]}" if KINDS[word].cautions else ""
        size = f", {count} balls" if count else ""
        return desk.said(saved, f"{KINDS[word].name}{size}. {KINDS[word].short}{caution}", "changed")

    def _allowed(self, kind: BlockKind) -> None:
        progress = self.progress()
        if progress.pain_stopped:
            raise Refused("Pain: no block today.", cautions.WHO_TO_SEE[1])
        if kind is BlockKind.BOW_BRACKET and progress.extremes_off:
            raise Refused("Extremes of bow are off today.", "The grip bracket stays.")

    def _drawn(self, kind: BlockKind, count: int, seed: int) -> Sequence[order.Step]:
        if kind is BlockKind.LADDER:
            return order.ladder(max(1, count // 3), seed)
        if kind is BlockKind.TRAJECTORY:
            return order.trajectory(max(1, count // 3), seed)
        if kind is BlockKind.STICK_OFF:
            return order.stick_blocks(count)
        if kind in (BlockKind.RANDOM, BlockKind.RETENTION):
            return order.targets(TARGETS, count, seed)
        if kind is BlockKind.CHOOSE:
            settings = sorted(self.known.on_line[:3], key=lambda setting: (setting.grip, setting.bow))
            if len(settings) < 2:
                raise Refused("Nothing to choose between yet.", "Two settings must start on line.")
            return order.in_turn(settings, max(1, count // len(settings)))
        return ()

    def end_block(self) -> Echo:
        """End the block that runs. Raises Refused where none does."""
        if self._desk.block is None:
            raise Refused("No block is running.")
        ended = self.end_open_block()
        assert ended is not None
        return self._desk.said(not self._desk.unsaved, f"{KINDS[ended.kind].name} {ended.outcome}. Its balls are kept.", "changed")

    def end_open_block(self, *, keep_setup: bool = False) -> Block | None:
        """Close the block that runs, with its outcome; None where none runs. The ball goes back to its stock position, or stays."""
        desk = self._desk
        block = desk.block
        if block is None:
            return None
        at = desk.at()
        ended = replace(block, ended_at=at, outcome=self._outcome(block))
        desk.write(lambda book: book.end_block(block.id, at, ended.outcome))
        desk.blocks[desk.blocks.index(block)] = ended
        if not keep_setup and "ball position" in KINDS[block.kind].moves and desk.state.setup.position_balls:
            desk.save_state(desk.state.stating(replace(desk.state.setup, position_balls=0.0)))
        return ended

    def heard(self, facts: Facts, known: Known) -> None:
        """What the latest facts say: whether the running block has reached its end, and what a confirm found."""
        self.known = known
        self._finished = facts.finished.kind if facts.finished is not None else None
        self._found = found(facts)

    def before_ball(self) -> None:
        """The ball after a block's end is no part of it: the block is closed first. Its setup is the one on show."""
        block = self._desk.block
        if block is not None and self._finished is block.kind:
            self.end_open_block(keep_setup=True)
            self._finished = None

    def _outcome(self, block: Block) -> str:
        if block.kind is BlockKind.CONFIRM:
            return self._found or "abandoned"
        mine = [ball for ball in self._desk.standing if ball.block_id == block.id]
        counted = len(mine) if KINDS[block.kind].counts == "hit" else sum(ball.counted for ball in mine)
        over = bool(mine) and (self._finished is block.kind or 0 < block.planned <= counted)
        return "done" if over else "abandoned"

    def planned_ball(self) -> Mapping[str, Any]:
        """What the running block drew for the ball being stored: a called height or a target."""
        step = self._step(ahead=0)
        return {"called": step.called, "target": step.target} if step is not None else {}

    def next_setup(self, ahead: int) -> Setup:
        """The setup that the plan of the running block asks for after `ahead` balls more; the present one where it asks for nothing."""
        step, block, setup = self._step(ahead), self._desk.block, self._desk.state.setup
        if step is not None:
            return self._stepped(step)
        # shown as soon as the plan is done, so that the ball after it is stored with what was on show
        back = block is not None and block.plan and "ball position" in KINDS[block.kind].moves
        return replace(setup, position_balls=0.0) if back else setup

    def _step(self, ahead: int) -> order.Step | None:
        block = self._desk.block
        if block is None or not block.plan:
            return None
        hit = sum(ball.block_id == block.id for ball in self._desk.standing)
        return order.next_step(order.readable(block.plan), hit + ahead)

    def _stepped(self, step: order.Step) -> Setup:
        desk = self._desk
        setup = desk.state.setup
        if step.setting is not None:
            setup = setup.at(step.setting)
        if step.position_balls is not None:
            setup = replace(setup, position_balls=step.position_balls)
        if step.stick is not None:
            setup = replace(setup, stick=step.stick and setup.swing is not Swing.FULL)
        if step.club_id in desk.clubs:
            setup = replace(setup, club_id=step.club_id)
        return setup

    # forms

    def form(self, name: str) -> tuple[FormKind, dict[str, Answer]]:
        """A form and the answers given so far, where it was left half-filled. Raises OffScale for an unknown name."""
        if name not in forms.FORMS:
            raise OffScale("form", f"Form is one of: {', '.join(forms.FORMS)}.")
        half = next((form for form in reversed(self._desk.forms) if form.name == name and not form.complete), None)
        return forms.FORMS[name], dict(half.answers) if half else {}

    def save_form(self, name: str, answers: Mapping[str, Answer], *, complete: bool = True) -> Echo:
        """Keep the answers of a form, half-filled or whole.

        Raises:
            OffScale: an answer that is not legal; nothing is kept of this call. Refused: no session runs.
        """
        desk = self._desk
        if desk.session is None:
            raise Refused("No session runs.", "Start one first.")
        kind, before = self.form(name)
        extra = {key: value for key, value in answers.items() if name == "pain" and key == "bow"}
        checked = kind.check({key: value for key, value in (before | dict(answers)).items() if key not in extra}, complete=complete) | extra
        half = next((form for form in desk.forms if form.name == name and not form.complete), None)
        after = desk.last.seq if desk.last else 0
        if half is not None:
            form = replace(half, answers=checked, complete=complete, at=desk.at(), after_seq=after)
            saved = desk.write(lambda book: book.update_form(form))
            desk.forms[desk.forms.index(half)] = form
        else:
            form = Form(self._desk.new_id(), desk.session.id, name, desk.at(), after, checked, complete)
            saved = desk.write(lambda book: book.add_form(form))
            desk.forms.append(form)
        return desk.said(saved, f"{kind.title}: {'kept' if complete else 'kept so far'}.")

    def pain(self, site: PainSite | str, level: int, sharp: bool = False) -> Echo:
        """Keep a pain answer, with the bow of the last ball. Raises OffScale."""
        word = scales.word("site", site, PainSite)
        number = int(scales.number("pain", level, *scales.PAIN_RANGE))
        last = self._desk.last
        answers: dict[str, Answer] = {other.value: None for other in PainSite}
        answers |= {word.value: number, "sharp": bool(sharp), "bow": last.setup.bow if last else None}
        echo = self.save_form("pain", {key: value for key, value in answers.items() if value is not None})
        return replace(
            echo, text=f"Pain {number}{' sharp' if sharp else ''} at the {word}. {cautions.WHO_TO_SEE[1] if number else ''}".strip()
        )

    def due(self, gap_s: float = 0.0) -> str:
        """Name of the form that is due; empty where none is."""
        desk = self._desk
        if desk.session is None:
            return ""
        return forms.due(desk.forms, desk.standing, extreme_done=_extreme_done(desk.standing), gap_s=gap_s) or ""


def _extreme_done(balls: Sequence[Ball]) -> bool:
    """The planned balls at an extreme of bow have just been hit."""
    if len(balls) < EXTREME_BALLS:
        return False
    last = balls[-EXTREME_BALLS:]
    bows = {ball.setup.bow for ball in last}
    return len(bows) == 1 and (bow := bows.pop()) is not None and (bow >= MOST_BOW or bow < 0)


def _days(first_at: str, later_at: str) -> int:
    return (datetime.fromisoformat(later_at).date() - datetime.fromisoformat(first_at).date()).days
