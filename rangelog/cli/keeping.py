"""Keeping the book: check, backup and restore, salvage, settings."""

from __future__ import annotations

import json
from dataclasses import asdict
from pathlib import Path
from typing import Any

import click

from rangelog import paths
from rangelog.cli.shared import as_json_option, bar, book_of, print_json
from rangelog.core.errors import RangelogError
from rangelog.core.times import local_now

SHOWN = 20


@click.command(
    epilog="\b\nExamples:\n  rangelog check\n  rangelog --book old.book check --json\n  rangelog --book bad.book check --salvage good.book"
)
@click.option(
    "--salvage",
    "salvage_to",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Copy what can be read to this new book; the old file stays as it is.",
)
@as_json_option
@click.pass_obj
def check(choices: dict[str, Any], salvage_to: Path | None, as_json: bool) -> int:
    """Check the book: every page, every row, every number. Nothing is changed.

    Exit code 0 where the book is whole, 1 where it is not, 2 where it cannot be read.
    """
    from rangelog.store import check as checking

    path = book_of(choices)
    if salvage_to is not None:
        return _salvage(path, salvage_to, as_json)
    with bar("Checking", checking.about_rows(path)) as progress:
        report = checking.check(path, progress)
    if as_json:
        print_json(asdict(report) | {"whole": report.whole})
        return 0 if report.whole else 1
    click.echo(f"{path}: {report.balls} balls." if report.balls >= 0 else f"{path}: the balls cannot be counted.")
    found = [
        *(f"page: {text}" for text in report.pages),
        *(f"{row.table} {row.id}: {row.why}" for row in (*report.links, *report.bad_rows)),
        *(f"session {gap.session_id}: balls {gap.first} to {gap.last} are missing" for gap in report.gaps),
    ]
    for line in found[:SHOWN]:
        click.echo(f"  {line}")
    if len(found) > SHOWN:
        click.echo(f"  and {len(found) - SHOWN} more")
    click.echo("The book is whole." if report.whole else "Readable balls are kept. Copy them with: rangelog check --salvage NEW")
    return 0 if report.whole else 1


def _salvage(path: Path, to: Path, as_json: bool) -> int:
    from rangelog.store.check import about_rows
    from rangelog.store.salvage import salvage

    with bar("Saving what can be read", about_rows(path)) as progress:
        report = salvage(path, to, local_now(), progress)
    if as_json:
        print_json(asdict(report) | {"path": str(report.path)})
        return 0
    click.echo(f"{report.kept.get('ball', 0)} balls kept in {report.path}; {len(report.lost)} rows could not be.")
    for row in report.lost[:SHOWN]:
        click.echo(f"  {row.table} {row.id}: {row.why}")
    return 0


@click.command(epilog="\b\nExamples:\n  rangelog backup\n  rangelog backup --list\n  rangelog backup --restore newest")
@click.option("--list", "listed", is_flag=True, help="List the backups, newest first.")
@click.option(
    "--restore",
    "restore_from",
    metavar="FILE",
    help='Go back to this backup, or to the "newest" good one; today\'s file is moved aside, never deleted.',
)
@as_json_option
@click.pass_obj
def backup(choices: dict[str, Any], listed: bool, restore_from: str | None, as_json: bool) -> int:
    """Write a checked, dated copy of the book beside it; list the copies; go back to one.

    A copy is also made on the first start of each day. 7 daily and 4 monthly ones are kept, and none is ever replaced by
    one with fewer balls.
    """
    from rangelog.store import Book, restoring
    from rangelog.store import backup as backing

    path = book_of(choices)
    if listed:
        found = backing.all_of(path)
        if as_json:
            print_json([{"path": str(one.path), "day": str(one.day), "balls": one.balls} for one in found])
            return 0
        for one in found:
            click.echo(f"{one.day}  {one.balls:>7} balls  {one.path}")
        if not found:
            click.echo("There is no backup yet.")
        return 0
    if restore_from is not None:
        chosen = _chosen(path, restore_from)
        done = restoring.restore(chosen, path, now=local_now(), move_old_aside=True)
        if as_json:
            print_json({"path": str(done.path), "balls": done.balls, "aside": str(done.aside) if done.aside else None})
            return 0
        click.echo(f"{done.path} has {done.balls} balls again." + (f" What was there is kept as {done.aside}." if done.aside else ""))
        return 0
    with Book.open(path, create=False, now=local_now, daily_backup=False) as book:
        made = book.backup()
    click.echo(json.dumps({"path": str(made)}) if as_json else f"Backup written: {made}")
    return 0


def _chosen(book: Path, name: str) -> Path:
    from rangelog.store import backup as backing

    if name != "newest":
        return Path(name).expanduser()
    newest = backing.newest_good(book)
    if newest is None:
        raise RangelogError("There is no good backup.", "Try: rangelog check --salvage NEW")
    return newest.path


@click.command(epilog="\b\nExamples:\n  rangelog settings\n  rangelog settings --json")
@as_json_option
def settings(as_json: bool) -> int:
    """Show the settings in force and where they are kept; a wrong line is named, and its default stands in."""
    from rangelog.settings import lines, load, written

    path = paths.settings_file()
    found, problems = load(path)
    if as_json:
        print_json({"file": str(path), "settings": written(found), "problems": [str(problem) for problem in problems]})
        return 0
    click.echo(f"{path}{'' if path.exists() else ' (not there: defaults)'}")
    for line in lines(found):
        click.echo(f"  {line}")
    for problem in problems:
        click.echo(f"  {problem}")
    return 0
