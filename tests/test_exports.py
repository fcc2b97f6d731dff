"""The shared library exports exactly the functions that the public header declares, and nothing else.

usage: test_exports.py HEADER LIBRARY
"""
import re
import subprocess
import sys

header, library = sys.argv[1:]
text = re.sub(r"/\*.*?\*/", "", open(header).read(), flags=re.S)
declared = set(re.findall(r"\b(lw_\w+)\s*\([^;{]*\)\s*;", text))
listing = subprocess.run(["nm", "-D", "--defined-only", library], check=True, capture_output=True, text=True).stdout
exported = {line.split()[-1].split("@")[0] for line in listing.splitlines()}
exported = {name for name in exported if not name.startswith(".")}  # a compiler's own, as clang's for OpenMP

if len(declared) < 10:
    sys.exit(f"only {len(declared)} functions found in {header}")
for name in sorted(declared - exported):
    print(f"declared but not exported: {name}")
for name in sorted(exported - declared):
    print(f"exported but not declared: {name}")
print(f"{len(declared)} functions declared, {len(exported)} symbols exported")
sys.exit(declared != exported)
