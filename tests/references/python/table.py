"""Reads a table of paints as Python's csv module does, and writes it as that module does.

No cell may begin like a formula, but a number (OWASP, "CSV Injection").
"""

import csv
import io
import sys

table = sys.stdin.buffer.read()
assert table.startswith(b"\xef\xbb\xbf"), "no byte-order mark"
rows = list(csv.reader(io.StringIO(table.decode("utf-8-sig"), newline=""), strict=True))
for row in rows:
    assert len(row) == len(rows[0]), row
    for cell in row:
        if cell.startswith(("=", "+", "-", "@", "\t", "\r")):
            assert round(float(cell), 2) == float(cell), cell
written = io.StringIO(newline="")
csv.writer(written).writerows(rows)
sys.stdout.buffer.write(written.getvalue().encode("utf-8"))
