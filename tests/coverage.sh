#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Which lines of metrics and annotate the tests reach: builds with counters, without the window, runs the tests of these
# layers and of the commands, and prints the share of lines by layer and the files that miss most. Fails below 90 %.
# Needs Debian's package gcovr. Usage: coverage.sh BUILD_FOLDER
set -euo pipefail
[ $# -eq 1 ] || { sed -n '5p' "$0" >&2; exit 2; }
root=$(cd "$(dirname "$0")/.." && pwd)
mkdir -p "$1"
build=$(realpath "$1")
cmake -S "$root" -B "$build" -G Ninja -DAFTERSCOPE_WINDOW=OFF -DCMAKE_BUILD_TYPE=Debug \
  "-DCMAKE_CXX_FLAGS_DEBUG=-O1 -fno-inline --coverage -fprofile-update=atomic" >/dev/null
cmake --build "$build" --target metrics_tests annotate_tests app_tests
find "$build" -name '*.gcda' -delete
ctest --test-dir "$build" --parallel 2 --output-on-failure --quiet -R '^(metrics|annotate|app):' ||
  echo "some tests failed; what they reached counts all the same"
status=0
for layer in metrics annotate; do
  gcovr -r "$root" --object-directory "$build" -j 2 --exclude-throw-branches --exclude-unreachable-branches \
    --gcov-ignore-parse-errors -f "$root/$layer/" --json-summary-pretty --json-summary "$build/$layer.json" >/dev/null
  python3 - "$build/$layer.json" "$layer" <<'PYTHON' || status=1
import json, sys
found = json.load(open(sys.argv[1]))
print(f"{sys.argv[2]}: {found['line_covered']} of {found['line_total']} lines, {found['line_percent']} %")
files = sorted(found["files"], key=lambda f: f["line_covered"] - f["line_total"])
for f in files[:15]:
    print(f"  {f['line_total'] - f['line_covered']:4} of {f['line_total']:4} not reached: {f['filename']}")
sys.exit(found["line_percent"] < 90)
PYTHON
done
exit $status
