"""Tables, read by Python's csv as strictly as it can, and as a spreadsheet would.

Reads packets as timeline.py does. Every record has as many fields as the header; what
a spreadsheet would run has an apostrophe in front, and nothing else is changed.
"""

import csv
import io
import json
import re

import packets

# OWASP, "CSV Injection": what makes a spreadsheet take a cell for a formula.
SIGNS = "=+-@\t\r\n\uff1d\uff0b\uff0d\uff20"


def harmless(cell):
    """A cell as it must be written."""
    cell = cell.replace("\0", "\ufffd")
    number = re.fullmatch(r"[+-]?\d+(\.\d+)?", cell)
    return "'" + cell if cell and cell[0] in SIGNS and not number else cell


def records(text):
    raw = text.encode()
    assert raw.endswith(b"\r\n")
    rows = list(csv.reader(io.StringIO(text, newline=""), strict=True))
    assert all(len(row) == len(rows[0]) for row in rows)
    for cell in (cell for row in rows for cell in row):
        assert harmless(cell) == cell, cell
    # RFC 4180: written again by the standard's rules, every record is the same.
    again = io.StringIO(newline="")
    csv.writer(again, lineterminator="\r\n").writerows(rows)
    assert list(csv.reader(io.StringIO(again.getvalue(), newline=""))) == rows
    return rows


def read(packet):
    name, documents = packet["name"], packet["documents"]
    packet = json.loads(documents["packet.json"])
    passes = [packet["shared"]["passes"][key] for key in packet["passes"]]
    wanted = {
        "passes.csv": [(row["path"], row["title"], row["owner"]) for row in passes],
        "ingest.csv": [(clip["path"], clip["plate"]["text"], clip["kind"]) for clip in packet["ingest"]],
    }
    tables = {path: text for path, text in documents.items() if path.endswith(".csv")}
    assert set(tables) >= set(wanted)
    cells = 0
    for path, text in tables.items():
        header, *rows = records(text)
        assert len(set(header)) == len(header) and all(header)
        cells += len(rows) * len(header)
        if path in wanted:
            told = [tuple(harmless(cell) for cell in row) for row in wanted[path]]
            assert [tuple(row[:3]) for row in rows] == told
    return {"name": name, "cells": cells}


packets.each(read)
