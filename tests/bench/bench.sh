#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# How fast the program is: everything that a user waits for, each beside a baseline taken right after it, as one table
# and as JSON. Usage:
#   bench.sh BUILD_FOLDER WORK_FOLDER                       in under ten minutes on two cores
#   bench.sh BUILD_FOLDER WORK_FOLDER --before OTHER_BUILD  the other build first, then what changed between the two
#   bench.sh --compare BEFORE.json AFTER.json               what changed between two runs
# The JSON lies in WORK_FOLDER/bench.json (and before.json): a list of {what, ours, against, ratio, limit}; times in
# seconds. Where there is a baseline, ratios are compared, else the figures themselves. The recordings are made once.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
source "$here/rows.sh"

# compare BEFORE AFTER: two JSON files, one row a line, as to_json writes them
compare() {
  awk -F'"' 'function number(key) { return match($0, "\"" key "\": [0-9.e+-]+") ? substr($0, RSTART + length(key) + 4, RLENGTH - length(key) - 4) + 0 : "" }
    !/"what"/ { next }
    { judged = number("ratio"); if (judged == "") judged = number("ours") }
    FNR == NR { before[$4] = judged; next }
    ($4 in before) { printf "%-62s %9.3f -> %9.3f  %+6.1f %%\n", $4, before[$4], judged, before[$4] == 0 ? 0 : 100 * (judged / before[$4] - 1) }' \
    "$1" "$2"
}
if [ "${1:-}" = --compare ] && [ $# -eq 3 ]; then
  compare "$2" "$3"
  exit
fi
[ $# -eq 2 ] || { [ $# -eq 4 ] && [ "$3" = --before ]; } || { sed -n '5,7p' "$0" >&2; exit 2; }

# to_json ROWS: tab-separated rows as JSON
to_json() {
  awk -F'\t' 'function or_null(v) { return v == "" ? "null" : v + 0 }
    BEGIN { print "[" }
    { printf "%s  {\"what\": \"%s\", \"ours\": %s, \"against\": %s, \"ratio\": %s, \"limit\": %s}", (NR > 1 ? ",\n" : ""), $1, or_null($2),
        or_null($3), ($3 == "" || $3 == 0 ? "null" : $2 / $3), or_null($4) }
    END { print "\n]" }' "$1"
}

measuring() {
  local out
  out=$("$build/tests/measure_bench")
  row "limbus found in a picture, against Hough circles, s" "$(value limbus "$out")" "$(value hough_circles "$out")" ""
  row "eye's motion a frame, against sparse optical flow, s" "$(value eye "$out")" "$(value optical_flow "$out")" ""
  row "tip followed a frame, against CSRT, s" "$(value tip "$out")" "$(value csrt "$out")" ""
  row "  all frames of a trail solved, s" "$(value tip_solved "$out")" "" ""
  row "2000 outlines of a rhexis, against the random numbers, s" "$(value rhexis "$out")" "$(value random_numbers "$out")" ""
}

report() {
  rm -rf case report.pdf
  "$build/app/afterscope" new case --recording minutes1.mp4 --set code=bench-2 >/dev/null
  "$build/app/afterscope" tag case --step rhexis --at 5 --to 20 >/dev/null
  row "report of a case as PDF, against drawing that PDF again, s" \
    "$(least_of 2 "$build/app/afterscope" report case -o report.pdf)" \
    "$(least_of 2 pdftocairo -pdf report.pdf again.pdf)" ""
}

index() {
  local out rate
  out=$("$build/tests/index_bench" . 1000)
  rate=$(sed -nE 's/^built: .* ([0-9.]+) cases\/s$/\1/p' <<<"$out")
  row "1000 cases into the index, against reading their files, s" "$(awk -v r="$rate" 'BEGIN { print 1000 / r }')" \
    "$(least_of 1 sh -c 'find cases-1000 -type f -exec cat {} +')" ""
  row "  up to date again after one change, s" "$(sed -nE 's/^after one change: ([0-9.]+) s.*/\1/p' <<<"$out")" "" 0.5
  row "  slowest of a chart's queries, s" \
    "$(sed -nE 's/^query, .*: ([0-9.]+) ms \(.*/\1/p' <<<"$out" | sort -n | tail -1 | awk '{ print $1 / 1000 }')" "" 0.1
  row "  all visits of a series, against the bare library, s" \
    "$(sed -nE 's/^query, all visits: ([0-9.]+) ms.*/\1/p' <<<"$out" | awk '{ print $1 / 1000 }')" \
    "$(sed -nE 's/^bare library, all visits: ([0-9.]+) ms.*/\1/p' <<<"$out" | awk '{ print $1 / 1000 }')" ""
}

window() {
  [ -x "$build/tests/window_bench" ] || return 0
  local bench=$build/tests/window_bench out
  row "window's start until the first picture, against ffmpeg's, s" "$(value first "$("$bench" first minutes1.mp4 0)")" \
    "$(least_of 2 ffmpeg -nostdin -i minutes1.mp4 -frames:v 1 -f null -)" ""
  out=$("$bench" scrub minutes1.mp4 10)
  row "to anywhere, until some picture: median, s" "$(value some_picture_median "$out")" "" 0.05
  row "  until the exact one: median, against the bare library, s" "$(value exact_picture_median "$out")" \
    "$(value bare_decoding_median "$out")" 1.15
  row "a step back in the window: median, s" "$(value step_back_median "$("$bench" back minutes1.mp4 4)")" "" 0.02
  out=$("$bench" draw minutes1.mp4 60)
  row "one frame of the window, against the bare toolkit, processor s" "$(value draw "$out")" "$(value bare_draw "$out")" ""
}

program() {
  row "the program's start, against ffprobe's, s" "$(least_of 5 "$build/app/afterscope" --version)" \
    "$(least_of 5 ffprobe -version)" ""
}

# run BUILD JSON: all of it
run() {
  build=$(realpath "$1")
  ninja -C "$build" bench >/dev/null
  export BENCH_ROWS=$work/rows
  : >"$BENCH_ROWS"
  head_row
  bash "$here/media_bench.sh" "$build" "$work" --quick | tail -n +2
  (
    cd "$work"
    program
    measuring
    report
    index
    window
  )
  bash "$here/clip_bench.sh" "$build" "$work" 10 2 | tail -n +2
  to_json "$BENCH_ROWS" >"$2"
  rm "$BENCH_ROWS"
}

mkdir -p "$2"
work=$(realpath "$2")
[ $# -eq 2 ] || run "$4" "$work/before.json"
run "$1" "$work/bench.json"
[ $# -eq 2 ] || compare "$work/before.json" "$work/bench.json"
