#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# What a user waits for in a large case, at a quarter, a half and the whole of its size, and how it grows: a growth of 1 is
# as the size, 2 as its square. Usage: scale_bench.sh BUILD_FOLDER WORK_FOLDER [HOURS [VISITS [POINTS]]]
# (a 2-hour 4K HEVC recording, 200 step visits, a trail of 50,000 points), or scale_bench.sh BUILD_FOLDER WORK_FOLDER --cases [MOST]
# the same of many cases in one folder: a hundredth, a tenth and all of them (10,000: some 2 GB, made once and kept).
set -euo pipefail
source "$(dirname "$0")/rows.sh"
[ $# -ge 2 ] || { sed -n '4,6p' "$0" >&2; exit 2; }
build=$(realpath "$1") work=$2 many=
if [ "${3:-}" = --cases ]; then many=${4:-10000}; else hours=${3:-2} visits=${4:-200} points=${5:-50000}; fi
afterscope=$build/app/afterscope
ninja -C "$build" afterscope window_bench index_bench >/dev/null
mkdir -p "$work"
cd "$work"
export XDG_CACHE_HOME=$PWD/cache

# recording QUARTERS: so many quarters of the hours; one short clip, repeated without encoding
recording() {
  local seconds
  seconds=$(awk -v h="$hours" -v q="$1" 'BEGIN { print int(h * 900 * q) }')
  [ -e clip.mp4 ] || quiet -f lavfi -i testsrc2=size=3840x2160:rate=30:duration=8 -c:v libx265 -preset ultrafast -b:v 6M \
    -x265-params log-level=none:keyint=120 -pix_fmt yuv420p -tag:v hvc1 clip.mp4
  [ -e "hevc$1.mp4" ] || quiet -stream_loop $(((seconds + 7) / 8 - 1)) -i clip.mp4 -c copy -t "$seconds" "hevc$1.mp4"
}

# case_of QUARTERS: visits one after another through the recording, and a trail along it; in seconds, which the packets tell:
# for numbers of frames all would be decoded
case_of() {
  local length each
  length=$(awk -v h="$hours" -v q="$1" 'BEGIN { print int(h * 900 * q) - 2 }')
  each=$((visits * $1 / 4))
  rm -rf "case$1"
  "$afterscope" new "case$1" --recording "hevc$1.mp4" --set "code=scale-$1" >/dev/null
  awk -v n="$each" -v all="$length" 'BEGIN {
    split("side_port rhexis hydrodissection fragment_removal cortex lens hydration", step, " ")
    print "step,start,end"
    for (i = 0; i < n; ++i) printf "%s,%.2f,%.2f\n", step[i % 7 + 1], i * all / n, (i + 0.9) * all / n }' >"steps$1.csv"
  "$afterscope" import "case$1" --steps "steps$1.csv" --unit seconds >/dev/null
  "$afterscope" tag "case$1" --mark limbus --at 1 --points 1920,480 2520,1080 1920,1680 1320,1080 2344,656 >/dev/null
  awk -v n=$((points * $1 / 4)) -v all="$length" 'BEGIN {
    for (i = 0; i < n; ++i) printf "%.3f,%.1f,%.1f\n", i * all / n, 1920 + 300 * sin(i / 40), 1080 + 200 * cos(i / 27) }' |
    xargs -n 5000 "$afterscope" tag "case$1" --trail tip --instrument forceps --hand main --trail-points >/dev/null
}

# grows WHAT SECONDS_AT_1 SECONDS_AT_2 SECONDS_AT_4
grows() {
  awk -v what="$1" -v a="$2" -v b="$3" -v c="$4" 'BEGIN {
    grown = a > 0.05 ? log(c / a) / log(4) : 0
    printf "%-52s %8.2f %8.2f %8.2f   growth %.2f%s\n", what, a, b, c, grown, (grown > 1.1 ? "  FASTER THAN LINEARLY" : "") }'
}
# each WHAT COMMAND...: with CASE and FILE in it as the case and the recording of each size
each() {
  local what=$1 quarters times=() words
  shift
  for quarters in 1 2 4; do
    words=("${@//CASE/case$quarters}")
    times+=("$(least_of 1 "${words[@]//FILE/hevc$quarters.mp4}")")
  done
  grows "$what" "${times[@]}"
}
# in_window WHAT WORD NAME NUMBER: of window_bench
in_window() {
  local times=() quarters
  for quarters in 1 2 4; do times+=("$(value "$3" "$("$build/tests/window_bench" "$2" "hevc$quarters.mp4" "$4" "case$quarters")")"); done
  grows "$1" "${times[@]}"
}

# grows_ten WHAT SECONDS...: of sizes that are each ten times the one before; from the two largest, for the smallest is mostly the
# program's start; no growth where that is so of the largest
grows_ten() {
  awk -v what="$1" -v a="$2" -v b="$3" -v c="$4" 'BEGIN {
    if (c < 0.1 || b <= 0) said = "too quick to tell"
    else {
      grown = log(c / b) / log(10)
      said = sprintf("growth %.2f%s", grown, (grown > 1.1 ? "  FASTER THAN LINEARLY" : ""))
    }
    printf "%-52s %8.2f %8.2f %8.2f   %s\n", what, a, b, c, said }'
}
# over WHAT COMMAND...: with COUNT in it; its status is 0 or 1 (something was found wrong), or the row is none
over() {
  local what=$1 count start status times=()
  shift
  for count in $counts; do
    status=0
    start=$(date +%s.%N)
    "${@//COUNT/$count}" >/dev/null 2>over.txt || status=$?
    times+=("$(awk -v from="$start" -v to="$(date +%s.%N)" 'BEGIN { printf "%.3f", to - from }')")
    [ $status -le 1 ] || { echo "$what: $count cases: ended with $status: $(head -c 300 over.txt)" >&2; exit 1; }
  done
  grows_ten "$what" "${times[@]}"
}
# of_many: counts is what it goes over
of_many() {
  local counts="$((many / 100)) $((many / 10)) $many" count out built=() again=() changed=() shelf=()
  [ $((many / 100)) -ge 10 ] || { echo "at least 1000 cases" >&2; exit 2; }
  printf '%-52s %8s %8s %8s\n' "seconds over so many cases" $counts
  for count in $counts; do
    out=$("$build/tests/index_bench" . "$count" "$PWD/cases-$count.sqlite")
    built+=("$(sed -nE 's/^built: ([0-9.]+) s.*/\1/p' <<<"$out")")
    again+=("$(sed -nE 's/^looked at again: ([0-9.]+) s.*/\1/p' <<<"$out")")
    changed+=("$(sed -nE 's/^after one change: ([0-9.]+) s.*/\1/p' <<<"$out")")
    shelf+=("$(value shelf "$("$build/tests/window_bench" shelf "cases-$count" 0)")")
  done
  grows_ten "window's start: the list of cases" "${shelf[@]}"
  grows_ten "the index, made anew" "${built[@]}"
  grows_ten "the index, looked at again" "${again[@]}"
  grows_ten "the index, after one change" "${changed[@]}"
  over "the series" "$afterscope" series cases-COUNT --index cases-COUNT.sqlite --json series.json
  over "stretches of a step" "$afterscope" find cases-COUNT --index cases-COUNT.sqlite --step rhexis
  over "follow-ups that are due" "$afterscope" due cases-COUNT --index cases-COUNT.sqlite
  over "whether all are whole" "$afterscope" check cases-COUNT
  over "consents that have run out" "$afterscope" forget --overdue cases-COUNT
}
if [ -n "$many" ]; then
  of_many
  exit
fi

for quarters in 1 2 4; do
  recording $quarters
  case_of $quarters
done
printf '%-52s %8s %8s %8s\n' "seconds at a quarter, a half, the whole" 1/4 1/2 1
each "what a recording is, not all decoded" "$afterscope" info --quick FILE
each "findings of a case" "$afterscope" measure CASE
each "report as PDF" "$afterscope" report CASE -o CASE.pdf
each "whether a case is whole" "$afterscope" check CASE
each "one change by a command" "$afterscope" tag CASE --moment remark --at 0:30 --text again
in_window "window: until the first picture" first first 0
in_window "window: one frame, processor time" draw draw 60
in_window "window: to anywhere, some picture: median" scrub some_picture_median 6
in_window "window: to anywhere, the exact one: median" scrub exact_picture_median 6
