"""The coach's page as one HTML file: drawn charts, no network, no script, black on white, one A4 page when printed."""

from html import escape

from rangelog.charts import svg
from rangelog.report.page import SIGNATURE, Drawing, Page, Section, Table

_STYLE = """
@page { size: A4; margin: 11mm 12mm; }
* { box-sizing: border-box; }
html { background: #fff; color: #000; }
body { font: 9pt/1.32 "Liberation Sans", "DejaVu Sans", Arial, sans-serif; margin: 0 auto; padding: 4mm; max-width: 190mm; }
h1 { font-size: 13pt; margin: 0 0 2mm; border-bottom: 1.5pt solid #000; padding-bottom: 1mm; }
h2 { font-size: 9.5pt; margin: 0 0 .5mm; }
main { columns: 2; column-gap: 7mm; }
section, figure { break-inside: avoid; margin: 0 0 2.2mm; }
p { margin: 0 0 .6mm; padding-left: 2.5mm; text-indent: -2.5mm; }
figure svg { width: 100%; height: auto; display: block; }
figcaption { font-weight: bold; font-size: 9.5pt; }
details { font-size: 8pt; }
summary { cursor: pointer; text-decoration: underline; }
table { border-collapse: collapse; margin: 1mm 0; }
th, td { border-bottom: .4pt solid #000; padding: 0 1.5mm 0 0; text-align: left; font-weight: normal; vertical-align: top; }
th { font-weight: bold; }
.sign { margin-top: 1mm; border-top: .6pt solid #000; padding-top: 1.5mm; }
@media (max-width: 700px) { main { columns: 1; } }
@media print { body { padding: 0; max-width: none; font-size: 8pt; line-height: 1.26; } details { display: none; } main { columns: 2; } }
"""


def html(page: Page) -> str:
    """The whole file. Every word that came from a book is escaped; nothing in it asks for anything outside the file."""
    drawings = {drawing.name: _figure(drawing, page.window_deg, page.comma) for drawing in page.drawings}
    parts = [_section(section) for section in page.sections]
    body = "\n".join([*drawings.values(), *parts])
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">\n"
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{_words(page.title)}</title>\n<style>{_STYLE}</style>\n</head>\n<body>\n"
        f"<h1>{_words(page.title)}</h1>\n<main>\n{body}\n</main>\n</body>\n</html>\n"
    )


def _words(text: str) -> str:
    """Escaped, and without signs that a file of HTML may not hold or that turn the writing direction."""
    kept = "".join(sign if sign.isprintable() else " " for sign in text)
    return escape(kept, quote=True)


def _section(section: Section) -> str:
    lines = "\n".join(f"<p>{_words(line)}</p>" for line in section.lines)
    kind = ' class="sign"' if section.heading == SIGNATURE else ""
    return f"<section{kind}>\n<h2>{_words(section.heading)}</h2>\n{lines}\n</section>"


def _figure(drawing: Drawing, window_deg: float, comma: bool) -> str:
    title, description = _words_only(drawing.title), _words_only(drawing.description)
    if drawing.name == "strips":
        picture = svg.strips(drawing.strips, title, description, window_deg=window_deg, name=drawing.name, comma=comma)
    elif drawing.name == "grid":
        picture = svg.grid(drawing.spots, drawing.line, title, description, window_deg=window_deg, name=drawing.name, comma=comma)
    else:
        picture = svg.bars(drawing.bars, title, description, window_deg=window_deg, name=drawing.name, comma=comma)
    return (
        f"<figure>\n<figcaption>{_words(drawing.title)}</figcaption>\n{picture}\n"
        f"<details><summary>The numbers of this picture</summary>\n{_table(drawing.table)}\n</details>\n</figure>"
    )


def _words_only(text: str) -> str:
    """Printable text for the picture, which escapes by itself."""
    return "".join(sign if sign.isprintable() else " " for sign in text)


def _table(table: Table) -> str:
    head = "".join(f'<th scope="col">{_words(name)}</th>' for name in table.columns)
    rows = "\n".join(f"<tr>{''.join(f'<td>{_words(cell)}</td>' for cell in row)}</tr>" for row in table.rows)
    return f"<table><caption>{_words(table.caption)}</caption>\n<thead><tr>{head}</tr></thead>\n<tbody>\n{rows}\n</tbody></table>"
