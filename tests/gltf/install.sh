#!/bin/sh
# install.sh NPM DIRECTORY STAMP PACKAGE.JSON PACKAGE-LOCK.JSON: installs what these two files pin into DIRECTORY, by the
# registry that npm is set up with, checks it against the hashes in them, and touches STAMP.
set -eu
npm=$1
directory=$2
stamp=$3
cp "$4" "$5" "$directory/"
cd "$directory"
"$npm" ci --ignore-scripts --no-audit --no-fund || {
    echo "install.sh: npm could not install the glTF validator; -Dgltf=disabled leaves its test out" >&2
    exit 1
}
touch "$(basename "$stamp")"
