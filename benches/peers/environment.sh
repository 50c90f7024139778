#!/usr/bin/env bash
# Makes the Python environment of the peers in target/peers. Does nothing when it stands already.
set -euo pipefail

here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
folder=$(cd "$here/../.." && pwd)/target/peers
wanted=$here/requirements.txt
made=$folder/requirements.txt

if [ -x "$folder/bin/python" ] && cmp -s "$wanted" "$made" && "$folder/bin/python" -c ''; then
    exit 0
fi
if ! python3 -c 'import sys, venv, ensurepip; sys.exit(sys.version_info < (3, 11))' 2>/dev/null; then
    echo "peers: Python 3.11 or later with venv is needed. On Debian: apt-get install python3 python3-venv" >&2
    exit 1
fi

echo "peers: making the Python environment in target/peers" >&2
rm -rf "$folder"
python3 -m venv "$folder"
"$folder/bin/python" -m pip install --quiet --disable-pip-version-check --requirement "$wanted"
# Copied last: an environment that stopped half-way is made again.
cp "$wanted" "$made"
