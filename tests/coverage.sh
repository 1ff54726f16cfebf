#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Which lines of metrics and annotate the tests reached: from the profiles that they left in BUILD_FOLDER/profiles, built with
# clang's -fprofile-instr-generate -fcoverage-mapping (run.sh --all does). Prints the share of lines by layer and the
# files that miss most. Fails below 90 %. Usage: coverage.sh BUILD_FOLDER
set -euo pipefail
[ $# -eq 1 ] || { sed -n '5p' "$0" >&2; exit 2; }
root=$(cd "$(dirname "$0")/.." && pwd)
build=$(realpath "$1")
llvm-profdata-14 merge -sparse -o "$build/profiles/all.profdata" "$build"/profiles/*.profraw
programs=("$build/app/afterscope" "-object=$build/tests/"{metrics,annotate,app,app_desktop}_tests)
status=0
for layer in metrics annotate; do
  llvm-cov-14 export -summary-only -instr-profile "$build/profiles/all.profdata" "${programs[@]}" \
    "$root/$layer" >"$build/profiles/$layer.json"
  python3 - "$build/profiles/$layer.json" "$root/" <<'PYTHON' || status=1
import json, sys
found = json.load(open(sys.argv[1]))["data"][0]
lines = found["totals"]["lines"]
layer = sys.argv[1].split("/")[-1].split(".")[0]
print(f"{layer}: {lines['covered']} of {lines['count']} lines, {lines['percent']:.1f} %")
missed = lambda file: file["summary"]["lines"]["count"] - file["summary"]["lines"]["covered"]
for file in sorted(found["files"], key=missed, reverse=True)[:15]:
    print(f"  {missed(file):4} of {file['summary']['lines']['count']:4} not reached: {file['filename'].removeprefix(sys.argv[2])}")
sys.exit(lines["percent"] < 90)
PYTHON
done
exit $status
