"""List files as rows of text cells: whatever the encoding, the delimiter and the line ends.

A row is what the file has, nothing more: cells as written, and the line it starts on. What can't
be trusted about a row (a quote that never closes) is told beside it, never mended silently.
"""

from __future__ import annotations

import codecs
import csv
import os
from collections import Counter
from collections.abc import Iterable, Iterator
from itertools import chain

from fitcheck.errors import InputError
from fitcheck.lists.layout import Chunk, Layout
from fitcheck.lists.lines import BLOCK_LINES

DELIMITERS = ("\t", ";", "|", ",")
# Others, which are taken only where they show a header that is known.
_RARE_DELIMITERS = ("^", "~", "¦", "\x1f", "\x01", "#", "!", "§", "&", "@", "%", ":")
FIXED = "fixed"
_DELIMITER_WORDS = {"tab": "\t", "space": " "}

_SAMPLE_BYTES = 1 << 18
_SAMPLE_LINES = 200
_ZIP, _OLE = b"PK\x03\x04", b"\xd0\xcf\x11\xe0"
# A quoted cell of more lines than this is a quote that was opened by mistake, such as an inch mark.
_LONGEST_CELL_LINES = 20
_BOMS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)


def look_at(path: str, *, sheet: str | None = None, delimiter: str = "") -> Layout:
    """How a list file is written.

    Parameters
    ----------
    path : str
        The file.
    sheet : str, optional
        The sheet of a workbook; the first that holds something when left out.
    delimiter : str
        ``,``, ``;``, tab, ``|`` or ``fixed``; found from the file when empty.

    Raises
    ------
    InputError
        The file can't be opened, is empty, or is no list this program reads.
    """
    head = _head(path)
    if head.startswith(_ZIP):
        from fitcheck.lists.sheets import look_at_workbook

        return look_at_workbook(path, sheet)
    if sheet is not None:
        raise InputError(
            value=f"sheet {sheet}",
            rule=f"{path} is a text file, and only a workbook has sheets",
            todo="Leave the sheet out",
        )
    if head.startswith(_OLE):
        raise InputError(
            value=path,
            rule="this is an old workbook (.xls) or one locked by a password",
            todo="Save it as .xlsx without a password, or as CSV",
        )
    encoding = _encoding(path, head)
    lines = _sample_lines(path, encoding)
    if not any(line.strip() for line in lines):
        raise InputError(
            value=path, rule="the file holds no text", todo="Check that it is the right file"
        )
    if delimiter == FIXED:
        return Layout("text", encoding, "", gutters=_gutters(lines))
    found = delimiter or _delimiter(lines)
    return Layout("text", encoding, found, gutters=() if found else _gutters(lines))


def delimiter_given(text: str) -> str:
    """The delimiter that a user names: one character, or the word tab or space.

    Parameters
    ----------
    text : str
        What is given; empty where nothing is.

    Raises
    ------
    InputError
        It is no character that can part cells.

    Examples
    --------
    >>> delimiter_given("tab"), delimiter_given("^")
    ('\\t', '^')
    """
    found = _DELIMITER_WORDS.get(text.casefold(), text)
    if len(found) > 1 or found in ('"', "\r", "\n", "\0"):
        raise InputError(
            value=f"--delimiter {text}",
            rule="a delimiter is one character, no quotation mark and no line end",
            todo="Write the character, such as --delimiter '^', or the word tab or space",
        )
    return found


def read_chunks(path: str, layout: Layout, *, rows: int = BLOCK_LINES) -> Iterator[Chunk]:
    """The rows of a file, so many at a time."""
    if layout.kind == "workbook":
        from fitcheck.lists.sheets import workbook_chunks

        yield from workbook_chunks(path, layout, rows)
        return
    # What can't be decoded shows as U+FFFD and is refused where it stands.
    with open(path, encoding=layout.encoding, errors="replace", newline="") as handle:
        if layout.delimiter:
            yield from _delimited(handle, layout.delimiter, rows)
        else:
            yield from _sliced(handle, layout.gutters, rows)


def _head(path: str) -> bytes:
    try:
        with open(path, "rb") as handle:
            head = handle.read(_SAMPLE_BYTES)
    except OSError as error:
        raise InputError(
            value=path,
            rule=f"the file can't be opened ({os.strerror(error.errno or 0)})",
            todo="Check the name and the permissions",
        ) from None
    if not head:
        raise InputError(
            value=path, rule="the file is empty", todo="Check that it is the right file"
        )
    return head


def _encoding(path: str, head: bytes) -> str:
    for mark, name in _BOMS:
        if head.startswith(mark):
            return name
    # Text in UTF-16 without its mark has a zero in every other byte.
    even, odd = head[0:4000:2].count(0), head[1:4000:2].count(0)
    half = len(head[:4000]) // 2
    if half and (even + odd):
        if odd > 0.3 * half and even < 0.05 * half:
            return "utf-16-le"
        if even > 0.3 * half and odd < 0.05 * half:
            return "utf-16-be"
        _refuse_binary(path)
    controls = sum(head.count(bytes([c])) for c in (*range(1, 9), *range(14, 26), 28, 29, 30, 31))
    if controls > max(32, 0.02 * len(head)):
        _refuse_binary(path)
    return "utf-8" if _is_utf8(path) else "cp1252" if _is_cp1252(path) else "latin-1"


def _is_utf8(path: str) -> bool:
    """Whether the whole file is UTF-8: one letter at its very end may be what tells."""
    decoder = codecs.getincrementaldecoder("utf-8")()
    try:
        with open(path, "rb") as handle:
            while block := handle.read(1 << 20):
                decoder.decode(block)
            decoder.decode(b"", final=True)
    except UnicodeDecodeError:
        return False
    return True


def _is_cp1252(path: str) -> bool:
    # Five bytes stand for nothing in cp1252.
    unused = (b"\x81", b"\x8d", b"\x8f", b"\x90", b"\x9d")
    with open(path, "rb") as handle:
        while block := handle.read(1 << 20):
            if any(byte in block for byte in unused):
                return False
    return True


def _refuse_binary(path: str) -> None:
    raise InputError(
        value=path,
        rule="this is no text file and no .xlsx workbook",
        todo="Save the list as CSV or .xlsx",
    )


def _sample_lines(path: str, encoding: str) -> list[str]:
    found: list[str] = []
    with open(path, encoding=encoding, errors="replace", newline="") as handle:
        for line in handle:
            # A single line longer than the whole sample is a file without line ends.
            found.append(line[:_SAMPLE_BYTES])
            if len(found) >= _SAMPLE_LINES:
                break
    return found


def _delimiter(lines: list[str]) -> str:
    """The delimiter that cuts most lines into the same number of cells; none when none does.

    A header that is known by its words counts more than anything else.
    """
    best, score = _best_of(DELIMITERS, lines)
    if score[0] == 0:
        rare, rare_score = _best_of(_RARE_DELIMITERS, lines)
        best = rare if rare_score[0] > 0 else best
    return best


def _best_of(signs: Iterable[str], lines: list[str]) -> tuple[str, tuple[int, float, int]]:
    """The sign that cuts lines best, and how well: headers, share of the lines, width."""
    from fitcheck.lists.headers import known_headers

    best, best_score = "", (0, 0.0, 0)
    for sign in signs:
        try:
            rows = [row for row in csv.reader(lines, delimiter=sign) if any(c.strip() for c in row)]
        except csv.Error:
            continue
        if not rows:
            continue
        widths = Counter(len(row) for row in rows)
        width, count = max(widths.items(), key=lambda item: (item[1], item[0]))
        if width < 2:
            # Most lines are one cell: foot notes, or a list of one column.
            continue
        share = count / len(rows)
        known = max(len(set(known_headers(row).values())) for row in rows[:30])
        score = (known if known > 1 else 0, share if share >= 0.5 else 0.0, width)
        if score[:2] > (0, 0.0) and score > best_score:
            best, best_score = sign, score
    return best, best_score


def _gutters(lines: list[str]) -> tuple[tuple[int, int], ...]:
    """The stretches, two wide or more, that are blank in every full line of aligned columns."""
    texts = [line.rstrip().expandtabs() for line in lines if line.strip()]
    longest = sorted(len(text) for text in texts)
    full = [text for text in texts if len(text) >= 0.5 * longest[len(longest) // 2]]
    width = max(len(text) for text in full)
    blank = [sum(text[i : i + 1] in ("", " ") for text in full) for i in range(width)]
    # A title above or a foot line below may run across: a stretch blank in most lines is enough,
    # and of that the part which is blank in the most, for a header may be wider than its column.
    found: list[tuple[int, int]] = []
    for start, end in _runs([count >= max(1, int(0.9 * len(full))) for count in blank]):
        most = max(blank[start:end])
        inner = max(
            _runs([count == most for count in blank[start:end]]), key=lambda run: run[1] - run[0]
        )
        if start > 0 and end < width and inner[1] - inner[0] >= 2:
            found.append((start + inner[0], start + inner[1]))
    return tuple(found) if len(full) > 1 else ()


def _runs(flags: list[bool]) -> list[tuple[int, int]]:
    """Where a list of flags is set, as stretches from and up to."""
    padded = [False, *flags, False]
    edges = [i for i in range(len(flags) + 1) if padded[i] != padded[i + 1]]
    return list(zip(edges[::2], edges[1::2], strict=True))


class _OpenQuoteError(Exception):
    """A quoted cell runs over more lines than a cell does."""


class _Feed:
    """Hands lines to the CSV reader and remembers those of the row that is being read."""

    def __init__(self, lines: Iterator[str]) -> None:
        self._lines = lines
        self.row: list[str] = []
        self.broken = False

    def __iter__(self) -> _Feed:
        return self

    def __next__(self) -> str:
        if len(self.row) >= _LONGEST_CELL_LINES:
            raise _OpenQuoteError
        try:
            line = next(self._lines)
        except StopIteration:
            # The end of the file inside a cell: the quote was never closed.
            if len(self.row) > 1 or (self.row and self.row[0].count('"') % 2):
                raise _OpenQuoteError from None
            raise
        self.row.append(line)
        return line


def _delimited(handle: Iterator[str], delimiter: str, most: int) -> Iterator[Chunk]:
    source: Iterator[str] = handle
    chunk, line = Chunk(), 1
    while True:
        feed = _Feed(source)
        reader = csv.reader(feed, delimiter=delimiter)
        try:
            for cells in reader:
                chunk.rows.append(cells)
                chunk.lines.append(line)
                if len(chunk.rows) >= most:
                    yield chunk
                    chunk = Chunk()
                line += len(feed.row)
                feed.row.clear()
        except (_OpenQuoteError, csv.Error):
            first, *others = feed.row
            chunk.faults[len(chunk.rows)] = "a quote opens in this line and is not closed"
            chunk.rows.append(first.rstrip("\r\n").split(delimiter))
            chunk.lines.append(line)
            line += 1
            source = chain(others, source)
            continue
        break
    if chunk.rows:
        yield chunk


def _sliced(
    handle: Iterator[str], gutters: tuple[tuple[int, int], ...], most: int
) -> Iterator[Chunk]:
    """Rows of aligned columns, or of one column where there are no gutters."""
    chunk = Chunk()
    starts = [0, *(end for _, end in gutters)]
    ends = [*(start for start, _ in gutters), None]
    for number, line in enumerate(handle, start=1):
        text = line.rstrip("\r\n")
        if gutters:
            text = text.expandtabs()
            if any(text[start:end].strip() for start, end in gutters):
                chunk.faults[len(chunk.rows)] = "its text runs across the gaps between the columns"
            cells = [text[a:b].strip() for a, b in zip(starts, ends, strict=True)]
        else:
            cells = [_unquoted(text)]
        chunk.rows.append(cells)
        chunk.lines.append(number)
        if len(chunk.rows) >= most:
            yield chunk
            chunk = Chunk()
    if chunk.rows:
        yield chunk


def _unquoted(text: str) -> str:
    if len(text) > 1 and text[0] == text[-1] == '"' and '"' not in text[1:-1].replace('""', ""):
        return text[1:-1].replace('""', '"')
    return text
