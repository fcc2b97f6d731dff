"""The tables in docs/drawing.md are those of src/draw/look.c.

usage: test_look.py DRAWING.md SPECIMEN [--renew]     --renew writes today's tables in place of what is there
"""
import pathlib
import re
import subprocess
import sys

page, specimen, renew = pathlib.Path(sys.argv[1]), pathlib.Path(sys.argv[2]).resolve(), "--renew" in sys.argv
tables = subprocess.run([specimen, "--look"], check=True, capture_output=True, text=True).stdout
text = page.read_text()
found = re.search(r"(<!-- tables: make renew -->\n)(.*?)(<!-- end -->)", text, flags=re.S)
if not found:
    sys.exit(f"{page} has no place for the tables")
if renew:
    page.write_text(text[: found.end(1)] + tables + text[found.start(3) :])
    sys.exit()
shown, wanted = found[2].splitlines(), tables.splitlines()
for line in shown:
    if line not in wanted:
        print(f"shown, but not in look.c: {line}")
for line in wanted:
    if line not in shown:
        print(f"in look.c, but not shown: {line}")
print(f"{len(wanted)} lines compared")
sys.exit(found[2] != tables or len(wanted) < 30)
