#!/usr/bin/env bash
# Makes the Python environment of the outside checks in target/outside. Does nothing when it stands already.
set -euo pipefail

here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
folder=$(cd "$here/../.." && pwd)/target/outside
wanted=$here/requirements.txt
made=$folder/requirements.txt

if [ -x "$folder/bin/python" ] && cmp -s "$wanted" "$made" && "$folder/bin/python" -c ''; then
    exit 0
fi

if ! command -v python3 >/dev/null; then
    echo "outside: python3 is missing. On Debian: apt-get install python3 python3-venv" >&2
    exit 1
fi
if ! python3 -c 'import sys; sys.exit(sys.version_info < (3, 11))'; then
    echo "outside: Python 3.11 or later is needed, this one is $(python3 --version)" >&2
    exit 1
fi
if ! python3 -c 'import venv, ensurepip' 2>/dev/null; then
    echo "outside: python3 -m venv does not work here. On Debian: apt-get install python3-venv" >&2
    exit 1
fi

echo "outside: making the Python environment in target/outside" >&2
rm -rf "$folder"
python3 -m venv "$folder"
"$folder/bin/python" -m pip install --quiet --disable-pip-version-check --requirement "$wanted"
# Copied last: an environment that stopped half-way is made again.
cp "$wanted" "$made"
