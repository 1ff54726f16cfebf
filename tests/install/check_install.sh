#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Installs the build into a fresh prefix, moves that elsewhere, and measures a case with it: the program must find its
# assets beside itself. Usage: check_install.sh BUILD_FOLDER CASE_FOLDER
set -euo pipefail
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cmake --install "$1" --prefix "$work/first" >/dev/null
mv "$work/first" "$work/moved"
cp -r "$2" "$work/case"
cd /
env -u AFTERSCOPE_ASSETS "$work/moved/bin/afterscope" --version
env -u AFTERSCOPE_ASSETS "$work/moved/bin/afterscope" measure "$work/case" --json "$work/findings.json"
grep -q '"name"' "$work/findings.json"
data_files=$(find "$work/moved/share/afterscope" -name '*.json' | wc -l)
[ "$data_files" -ge 5 ] || { echo "only $data_files data files were installed"; exit 1; }
[ -f "$work/moved/share/doc/afterscope/LICENSE" ] || { echo "no licence was installed"; exit 1; }
