#!/bin/sh
# What `make install` leaves is enough for a stranger: a C program finds the library through pkg-config and links it, shared and
# static, and the program, manual and completion are in their places.
# usage: test_install.sh BUILD_DIRECTORY COMPILER
set -eu
build=$1
compiler=$2
root=$(mktemp -d)
trap 'rm -rf "$root"' EXIT

cat >"$root/stranger.c" <<'END'
#include <lengthwise.h>
#include <stdio.h>
int main(void) { return puts(lw_landmark_name(LW_NAPE_CENTRE)) < 0; }
END

DESTDIR="$root/to" meson install -C "$build" --no-rebuild --quiet
description=$(find "$root/to" -name lengthwise.pc)
[ -n "$description" ] || { echo "no pkg-config file was installed"; exit 1; }
library=$(dirname "$(dirname "$description")")
export PKG_CONFIG_PATH="$library/pkgconfig" PKG_CONFIG_SYSROOT_DIR="$root/to"

# The flags are words, so they are left unquoted.
# shellcheck disable=SC2046
$compiler "$root/stranger.c" -o "$root/shared" $(pkg-config --cflags --libs lengthwise)
# shellcheck disable=SC2046
$compiler "$root/stranger.c" -o "$root/static" $(pkg-config --cflags lengthwise) "$library/liblengthwise.a" \
    $(pkg-config --static --libs-only-other --libs-only-l lengthwise | sed 's/-llengthwise//')
[ "$(LD_LIBRARY_PATH=$library "$root/shared")" = "nape centre" ]
[ "$("$root/static")" = "nape centre" ]

for place in bin/lengthwise include/lengthwise.h share/man/man1/lengthwise.1 \
    share/bash-completion/completions/lengthwise share/lengthwise/plan.schema.json share/lengthwise/openapi.json \
    share/lengthwise/examples/graduated-bob.json; do
    find "$root/to" -path "*/$place" | grep -q . || { echo "not installed: $place"; exit 1; }
done
"$(find "$root/to" -path '*/bin/lengthwise')" --version
