"""Puts a page's files into the program: writes C with the bytes, content type and ETag of every file.

Of two files with one path the later one counts, so a plain page can stand first and the real one after it. The C
changes with every byte of every file, and a depfile lists them all.

usage: embed.py OUT.c DEPFILE [--directory DIRECTORY] [--file /PATH FILE] ...
"""
import hashlib
import pathlib
import re
import sys

MEDIA = {
    ".css": "text/css; charset=utf-8",
    ".html": "text/html; charset=utf-8",
    ".ico": "image/vnd.microsoft.icon",
    ".jpg": "image/jpeg",
    ".js": "text/javascript; charset=utf-8",
    ".json": "application/json",
    ".map": "application/json",
    ".mjs": "text/javascript; charset=utf-8",
    ".png": "image/png",
    ".svg": "image/svg+xml; charset=utf-8",
    ".txt": "text/plain; charset=utf-8",
    ".wasm": "application/wasm",
    ".webmanifest": "application/manifest+json",
    ".webp": "image/webp",
    ".woff2": "font/woff2",
}
LASTING = re.compile(r"/assets/.*-[\w-]{8}\.\w+(\.map)?$")  # as vite names what it builds
PLAIN = re.compile(r"[\w./-]+$", re.ASCII)


def arguments(words):
    """The files as {path: file}, in which later ones replace earlier ones."""
    files = {}
    words = iter(words)
    for word in words:
        if word == "--directory":
            top = pathlib.Path(next(words))
            files.update((f"/{path.relative_to(top).as_posix()}", path) for path in sorted(top.rglob("*")) if path.is_file())
        elif word == "--file":
            path = next(words)
            files[path] = pathlib.Path(next(words))
        else:
            sys.exit(f"embed.py: {word}?")
    return files


def check(path, file):
    if not PLAIN.match(path) or path.startswith("/api/"):
        sys.exit(f"embed.py: {file}: the name can have letters, digits, dots, dashes and strokes, and not begin with /api/")
    if file.suffix not in MEDIA:
        sys.exit(f"embed.py: {file}: give {file.suffix or 'files without an ending'} a content type in tools/embed.py")


def rows(data):
    for at in range(0, len(data), 32):
        yield ",".join(map(str, data[at:at + 32]))


def main(out, depfile, *words):
    files = arguments(words)
    table = []
    with open(out, "w", encoding="ascii") as c:
        c.write("/* Written by tools/embed.py. */\n#include \"assets.h\"\n\n")
        for i, (path, file) in enumerate(sorted(files.items())):
            check(path, file)
            data = file.read_bytes()
            lasting = "true" if LASTING.match(path) else "false"
            etag = hashlib.sha256(data).hexdigest()[:16]
            body = ",\n".join(rows(data or b"\0"))
            c.write(f"static const unsigned char file_{i}[] = {{\n{body}}};\n")
            table.append(f'    {{"{path}", "{MEDIA[file.suffix]}", "\\"{etag}\\"", {lasting}, {len(data)}, file_{i}}},\n')
        c.write(f"\nconst asset assets[] = {{\n{''.join(table)}}};\nconst size_t asset_count = {len(table)};\n")
    pathlib.Path(depfile).write_text(f"{out}: {' '.join(str(file) for file in files.values())}\n")


main(*sys.argv[1:])
