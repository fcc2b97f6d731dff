"""core and plan take nothing from the C library's mathematics but what is exact, and so alike, everywhere.

usage: test_libm.py NM COMPILER ARCHIVE...
"""
import subprocess
import sys

EXACT = set("fabs fmax fmin fmod frexp ldexp scalbn scalbln copysign nextafter sqrt floor ceil trunc round rint nearbyint "
            "lround llround lrint llrint modf fdim".split())
EXACT |= {name + "f" for name in EXACT}

nm, compiler, *archives = sys.argv[1:]


def names(*arguments):
    listing = subprocess.run([nm, *arguments], check=True, capture_output=True, text=True).stdout
    return {line.split()[-1].split("@")[0] for line in listing.splitlines() if line.strip() and not line.endswith(":")}


library = subprocess.run([compiler, "-print-file-name=libm.so.6"], check=True, capture_output=True, text=True).stdout.strip()
offered = names("-D", "--defined-only", library)
wanted = set().union(*(names("-u", archive) for archive in archives))
if not {"sin", "cos", "pow"} <= offered:
    sys.exit(f"{library} is no library of mathematics")
if "sine" not in wanted:
    sys.exit("the archives ask for nothing that is asked of core/elementary.c")
taken = sorted((wanted & offered) - EXACT)
for name in taken:
    print(f"{name} differs from library to library: see elementary.h")
print(f"{len(wanted & offered)} functions of the C library's mathematics, {len(taken)} of them inexact")
sys.exit(bool(taken))
