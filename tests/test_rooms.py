"""The rooms include each other only in the directions that the design allows.

The include paths of the build already keep the rooms apart; this also catches a path that climbs out of its room and a
room that reaches past the one header another room offers.

usage: test_rooms.py SOURCE_DIRECTORY
"""
import pathlib
import re
import sys

ALLOWED = {  # room: what it may include from outside itself
    "core": {"lengthwise.h"},
    "plan": {"lengthwise.h", "utf8.h", "jsmn.h"},
    "text": {"lengthwise.h", "fail.h", "utf8.h"},
    "tell": {"lengthwise.h", "put.h"},
    "draw": {"lengthwise.h", "tell.h", "vec.h", "fail.h", "cividis.h"},
    "book": {"lengthwise.h", "plan.h", "fail.h", "utf8.h", "scan.h", "grown.h"},
    "cli": {"lengthwise.h", "plan.h", "tell.h", "tell_json.h", "draw.h", "book.h", "put.h", "serve.h"},
    "serve": {"lengthwise.h", "plan.h", "draw.h", "book.h", "fail.h", "utf8.h", "scan.h", "grown.h", "put.h"},
    "wasm": {"lengthwise.h", "plan.h", "tell.h", "tell_json.h", "put.h", "vec.h", "cividis.h"},
}
PURE = {"core", "plan", "tell"}  # no files, clock, sockets or operating system
IMPURE = {"unistd.h", "time.h", "fcntl.h", "errno.h", "signal.h", "pthread.h", "threads.h", "locale.h"}

source = pathlib.Path(sys.argv[1], "src")
faults, seen = [], 0
for room in sorted(path.name for path in source.iterdir() if path.is_dir()):
    files = sorted(path for path in (source / room).rglob("*") if path.suffix in {".c", ".h"})
    own = {path.name for path in files}
    for path in files:
        for number, line in enumerate(path.read_text().splitlines(), 1):
            where = f"{path.relative_to(source.parent)}:{number}"
            if match := re.match(r'\s*#\s*include\s*([<"])([^>"]+)', line):
                seen += 1
                quoted, name = match[1] == '"', match[2]
                if quoted and name not in own | ALLOWED.get(room, set()):
                    faults.append(f"{where}: {room} may not include {name}")
                if not quoted and room in PURE and (name in IMPURE or name.startswith("sys/")):
                    faults.append(f"{where}: {room} is pure and may not include <{name}>")
            if room in PURE and re.search(r"\b(fopen|fprintf|printf|puts|getenv|system|exit|abort)\s*\(", line):
                faults.append(f"{where}: {room} is pure: {line.strip()}")
print("\n".join(faults + [f"{seen} includes read, {len(faults)} faults"]))
sys.exit(bool(faults) or seen == 0)
