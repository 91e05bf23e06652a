"""Carrying balls out of a book and into one."""

from __future__ import annotations

import sys
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from rangelog import paths
from rangelog.cli.shared import as_json_option, bar, book_of, open_archive, print_json
from rangelog.core.errors import Refused

if TYPE_CHECKING:
    from rangelog.exchange.outcome import Imported

SHOWN = 20
BYTES_A_ROW = {"csv": 330, "jsonl": 650}
"""About how long a row of our own files is: enough for a progress bar."""

IMPORT_EXAMPLES = """\b
Examples:
  rangelog import book.jsonl
  rangelog import balls.csv --dry-run
  rangelog import other.csv --mapping my-table --dry-run
"""


@click.command(
    epilog="\b\nExamples:\n  rangelog export balls.csv\n  rangelog export book.jsonl\n  rangelog export --format jsonl - | rangelog hint"
)
@click.argument("target", default="-")
@click.option("--format", "form", type=click.Choice(["csv", "jsonl"]), help="Default: by the ending of TARGET, else CSV.")
@as_json_option
@click.pass_obj
def export(choices: dict[str, Any], target: str, form: str | None, as_json: bool) -> int:
    """Write every ball as CSV (one row a ball), or the whole book as JSON Lines, which gives the same book back.

    TARGET is a file, or "-" for standard output. A file stands whole or not at all.
    """
    from rangelog.exchange.csv_out import export_csv
    from rangelog.exchange.jsonl import export_jsonl

    chosen = form or ("jsonl" if target.endswith((".jsonl", ".ndjson")) else "csv")
    with open_archive(choices) as archive, bar("Writing", archive.total_balls()) as progress:
        done = (export_jsonl if chosen == "jsonl" else export_csv)(archive, target, progress)
    if as_json and target != "-":
        print_json(asdict(done))
    elif target != "-":
        print(done.sentence(), file=sys.stderr)
    return 0


@click.command(
    "import",
    epilog=IMPORT_EXAMPLES,
)
@click.argument("source")
@click.option("--format", "form", type=click.Choice(["csv", "jsonl"]), help="Default: by the ending of SOURCE.")
@click.option("--mapping", metavar="NAME", help="Read a foreign table by this saved mapping, or a JSON file that declares one.")
@click.option("--keep-mapping", is_flag=True, help="Save the mapping by its name, to be used again.")
@click.option("--dry-run", is_flag=True, help="Show what would happen and write nothing.")
@click.option("--same-player", is_flag=True, help="The two players are one, though their ids differ. Never across hands.")
@as_json_option
@click.pass_obj
def import_(
    choices: dict[str, Any],
    source: str,
    form: str | None,
    mapping: str | None,
    keep_mapping: bool,
    dry_run: bool,
    same_player: bool,
    as_json: bool,
) -> int:
    """Bring balls in from JSON Lines, from our own CSV, or from a foreign table by a mapping.

    The same file twice imports once; bad rows are set aside by line number; nothing is half imported. A mapping is a JSON
    file with name, hand, columns (field: column), and where needed positive ("right", "left" or "open"), units, words, fixed,
    date_form, delimiter and decimal.
    """
    from rangelog.exchange.csv_in import import_csv
    from rangelog.exchange.jsonl import import_jsonl
    from rangelog.logbook.archive import Archive

    if source != "-" and not Path(source).is_file():
        raise Refused(f"There is no file at {source}.", "Check the path.")
    chosen = form or ("csv" if source.endswith(".csv") or mapping is not None else "jsonl")
    rows = Path(source).stat().st_size // BYTES_A_ROW[chosen] if source != "-" else 0
    with Archive.take(book_of(choices)) as archive, bar("Reading", rows) as progress:
        if mapping is not None:
            done = _foreign(archive, source, mapping, keep_mapping, dry_run, progress)
        else:
            take = import_csv if chosen == "csv" else import_jsonl
            done = take(archive, source, dry_run=dry_run, same_player=same_player, progress=progress)
    return _told(done, as_json)


def _foreign(archive: Any, source: str, name: str, keep: bool, dry_run: bool, progress: Any) -> Imported:
    from rangelog.exchange import foreign, mapping

    folder = paths.settings_file().parent / "mappings"
    declared = mapping.load(name, folder)
    if keep:
        mapping.save(declared, folder)
    if not dry_run:
        return foreign.import_foreign(archive, source, declared, progress=progress)
    shown = foreign.preview(archive, source, declared)
    widths = [max(len(row[place]) for row in (foreign.PREVIEW_COLUMNS, *shown.rows)) for place in range(len(foreign.PREVIEW_COLUMNS))]
    for row in (foreign.PREVIEW_COLUMNS, *shown.rows):
        print("  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip(), file=sys.stderr)
    return shown.imported


@click.command(epilog="\b\nExamples:\n  rangelog merge other-laptop.db\n  rangelog merge other-laptop.db --dry-run")
@click.argument("other", type=click.Path(path_type=Path, exists=True, dir_okay=False))
@click.option("--dry-run", is_flag=True, help="Show what would happen and write nothing.")
@click.option("--same-player", is_flag=True, help="The two players are one, though their ids differ. Never across hands.")
@as_json_option
@click.pass_obj
def merge(choices: dict[str, Any], other: Path, dry_run: bool, same_player: bool, as_json: bool) -> int:
    """Take everything of another laptop's book into yours; both histories are kept, and doing it twice changes nothing."""
    from rangelog.exchange.merge import merge as merging
    from rangelog.logbook.archive import Archive

    with (
        open_archive(choices, read_only=False) as into,
        Archive.look(other) as source,
        bar("Merging", source.total_balls()) as progress,
    ):
        done = merging(into, source, dry_run=dry_run, same_player=same_player, progress=progress)
    return _told(done, as_json)


def _told(done: Imported, as_json: bool) -> int:
    if as_json:
        print_json(asdict(done))
        return 0
    click.echo(done.sentence())
    for bad in done.bad[:SHOWN]:
        click.echo(f"  line {bad.line}: {bad.why}" if bad.line else f"  {bad.why}")
    if len(done.bad) > SHOWN:
        click.echo(f"  and {len(done.bad) - SHOWN} more")
    return 0
