"""A workbook of one sheet as we write it (Office Open XML, ISO/IEC 29500-1): texts, numbers, bounds for what is typed.

Texts are kept as texts, so that none is taken for a formula. The same input gives the same bytes.
"""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Iterable, Mapping, Sequence
from xml.sax.saxutils import escape, quoteattr

_ILLEGAL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ufffe\uffff\ud800-\udfff]")  # not allowed in XML 1.0
_MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
_REL = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_PACKAGE = "http://schemas.openxmlformats.org/package/2006"
_TYPES = "application/vnd.openxmlformats-officedocument.spreadsheetml"
_HEAD = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
LONGEST = 32_767  # characters of a cell, by the limits spreadsheets share
_WHEN = (1980, 1, 1, 0, 0, 0)


def xlsx_bytes(
    title: str,
    columns: Sequence[str],
    rows: Iterable[Sequence[object]],
    widths: Mapping[str, float] | None = None,
    bounds: Mapping[str, tuple[float, float]] | None = None,
) -> bytes:
    """A workbook whose first row, of ``columns``, stays in sight.

    ``widths`` are in characters; ``bounds`` are the least and the most that may be typed into a column. Text in a cell
    that is longer than spreadsheets take is cut.
    """
    kept = [list(row) for row in rows]
    sheet = [f'{_HEAD}<worksheet xmlns="{_MAIN}"><sheetViews><sheetView workbookViewId="0">']
    sheet.append(
        '<pane ySplit="1" topLeftCell="A2" activePane="bottomLeft" state="frozen"/></sheetView></sheetViews><cols>'
    )
    for place, column in enumerate(columns, 1):
        wide = (widths or {}).get(column, max(8.0, len(column) + 2.0))
        sheet.append(f'<col min="{place}" max="{place}" width="{wide:g}" customWidth="1"/>')
    sheet.append("</cols><sheetData>")
    sheet.append(_row(1, columns, bold=True))
    sheet += [_row(number, row) for number, row in enumerate(kept, 2)]
    sheet.append("</sheetData>")
    limited = [(place, bounds[c]) for place, c in enumerate(columns) if bounds and c in bounds] if kept else []
    if limited:
        sheet.append(f'<dataValidations count="{len(limited)}">')
        for place, (low, high) in limited:
            letter = _letters(place)
            said = quoteattr(f"a number from {low:g} to {high:g}")
            sheet.append(
                '<dataValidation type="decimal" allowBlank="1" showErrorMessage="1" errorTitle="Not on the scale" '
                f'error={said} sqref="{letter}2:{letter}{len(kept) + 1}">'
                f"<formula1>{low:g}</formula1><formula2>{high:g}</formula2></dataValidation>"
            )
        sheet.append("</dataValidations>")
    sheet.append("</worksheet>")
    return _packed(title, "".join(sheet))


def _row(number: int, cells: Sequence[object], bold: bool = False) -> str:
    found = []
    style = ' s="1"' if bold else ""
    for place, value in enumerate(cells):
        if value is None or value == "":
            continue
        at = f'r="{_letters(place)}{number}"{style}'
        if isinstance(value, int | float) and not isinstance(value, bool):
            found.append(f"<c {at}><v>{value!r}</v></c>")
        else:
            text = escape(_ILLEGAL.sub(" ", str(value))[:LONGEST])
            found.append(f'<c {at} t="inlineStr"><is><t xml:space="preserve">{text}</t></is></c>')
    return f'<row r="{number}">{"".join(found)}</row>'


def _letters(place: int) -> str:
    """The letters of a column, from 0: A, B, ... Z, AA."""
    letters = ""
    place += 1
    while place:
        place, rest = divmod(place - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


def _packed(title: str, sheet: str) -> bytes:
    name = quoteattr(re.sub(r"[\[\]:*?/\\]", " ", _ILLEGAL.sub(" ", title))[:31].strip() or "Sheet")
    files = {
        "[Content_Types].xml": f'{_HEAD}<Types xmlns="{_PACKAGE}/content-types">'
        '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
        f'<Override PartName="/xl/workbook.xml" ContentType="{_TYPES}.sheet.main+xml"/>'
        f'<Override PartName="/xl/worksheets/sheet1.xml" ContentType="{_TYPES}.worksheet+xml"/>'
        f'<Override PartName="/xl/styles.xml" ContentType="{_TYPES}.styles+xml"/></Types>',
        "_rels/.rels": f'{_HEAD}<Relationships xmlns="{_PACKAGE}/relationships">'
        f'<Relationship Id="rId1" Type="{_REL}/officeDocument" Target="xl/workbook.xml"/></Relationships>',
        "xl/workbook.xml": f'{_HEAD}<workbook xmlns="{_MAIN}" xmlns:r="{_REL}"><sheets>'
        f'<sheet name={name} sheetId="1" r:id="rId1"/></sheets></workbook>',
        "xl/_rels/workbook.xml.rels": f'{_HEAD}<Relationships xmlns="{_PACKAGE}/relationships">'
        f'<Relationship Id="rId1" Type="{_REL}/worksheet" Target="worksheets/sheet1.xml"/>'
        f'<Relationship Id="rId2" Type="{_REL}/styles" Target="styles.xml"/></Relationships>',
        "xl/styles.xml": f'{_HEAD}<styleSheet xmlns="{_MAIN}">'
        '<fonts count="2"><font><sz val="11"/></font><font><b/><sz val="11"/></font></fonts>'
        '<fills count="2"><fill><patternFill patternType="none"/></fill>'
        '<fill><patternFill patternType="gray125"/></fill></fills>'
        '<borders count="1"><border/></borders><cellStyleXfs count="1"><xf/></cellStyleXfs>'
        '<cellXfs count="2"><xf xfId="0"/><xf fontId="1" applyFont="1" xfId="0"/></cellXfs></styleSheet>',
        "xl/worksheets/sheet1.xml": sheet,
    }
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as package:
        for path, text in files.items():
            item = zipfile.ZipInfo(path, _WHEN)
            item.compress_type, item.create_system = zipfile.ZIP_DEFLATED, 0
            package.writestr(item, text.encode())
    return stream.getvalue()
