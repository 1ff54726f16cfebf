#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# A mentor's review in the real window, 1280 by 720: from a recording to a case on disk and a report.
# Usage: drive_window.sh PROGRAM
program=$1
. "$(dirname "$0")/window_driver.sh"

# A mistyped verb gets one sentence and no window.
sentence=$("$program" mesure x 2>&1 >/dev/null)
check "a mistyped verb is a bad call" $? 2
check "a mistyped verb is told in one line" "$(printf '%s\n' "$sentence" | grep -c "'mesure'")/$(printf '%s\n' "$sentence" | wc -l)" 1/1

open_display 1280x720
cp "$recording" "$work/vtest.avi"
case="$work/vtest case"
open_window 1280x720 "$work/vtest.avi"

# What the recording is, by the command: the frame at index N has these ticks.
ticks_of() { "$program" info --frames "$work/vtest.avi" | awk -F'\t' -v n="$1" '$1 == n {print $2}'; }
clock_of() { "$program" info --frames "$work/vtest.avi" | awk -F'\t' -v n="$1" '$1 == n {printf "%.3f", $3}'; }

# Steps: the first key makes the case, the next step ends the one before.
press_until "the case" s test -f "$case/case.json"
wait_until "the first step" there_are 1 '\tstep\t.*\tside_port'
times 2 shift+Right
key r
wait_until "the second step" there_are 1 '\tstep\t.*\trhexis'
times 15 Right
key t
wait_until "the take-over" there_are 1 'taken over'
times 10 Right
key t
wait_until "the return" there_are 3 '\tstep\t.*\trhexis'
times 10 Right
key period
wait_until "the end of the step" there_are 0 '\tstep\t\S+\t\t'
check "the first step lasts until frame 20" "$(listed | awk -F'\t' '$6 == "side_port" {print $5}')" "$(clock_of 20)"
check "the take-over lasts ten frames" \
  "$(listed | awk -F'\t' '/taken over/ {print $5}')" \
  "$("$program" info --frames "$work/vtest.avi" | awk -F'\t' '$1 == 35 {a = $3} $1 == 45 {printf "%.3f", $3 - a}')"

# A boundary is dragged by whole frames in the moment strip: 4 s lie in 1256 pixels, the playhead in the middle.
times 3 Page_Up  # from the end of the rhexis at frame 55 to its start at frame 20
per_frame=$("$program" info --frames "$work/vtest.avi" | awk -F'\t' '$1 == 1 {printf "%.2f", $3 * 314}')
to_x=$(awk -v p="$per_frame" 'BEGIN {printf "%d", 640 - 3 * p}')
step_ends() { [ "$(listed | awk -F'\t' '$6 == "side_port" {print $5}')" = "$(clock_of "$1")" ]; }
drag() { xdotool mousemove 640 640 mousedown 1 mousemove $(((640 + to_x) / 2)) 640 mousemove "$to_x" 640 mouseup 1; }
drag
wait_until "the dragged boundary" step_ends 17
check "a boundary dragged by three frames" "$(listed | awk -F'\t' '$6 == "side_port" {print $5}')" "$(clock_of 17)"
key ctrl+z
wait_until "undo" step_ends 20
key ctrl+y
wait_until "redo" step_ends 17
key bracketright
wait_until "a boundary nudged by one frame" step_ends 18

# A typed remark.
key Return
write "Steady hand here"
key Return
wait_until "the remark" there_are 1 '\tremark\t.*Steady hand here'

# A spoken remark: the key is held, SDL's microphone that is none hears silence. On a slow machine, held longer.
spoken() { [ "$(count '\tremark\t.*spoken, [0-9]+ s')" -ge 1 ]; }
for seconds in 2 4 8 16; do
  xdotool keydown --window "$window" F9
  sleep "$seconds"
  xdotool keyup --window "$window" F9
  for _ in 1 2 3 4 5 6 7 8 9 10; do spoken && break 2; sleep 0.2; done
done
wait_until "the spoken remark" spoken
check "what was spoken is whole" "$("$program" check "$case" >/dev/null 2>&1; echo $?)/$(ls "$case"/reviews/r1/spoken/*.ogg | wc -l)" "0/$(count spoken)"

# Outlines by clicking: twelve points on circles round the middle of the picture.
key shift+l
circle limbus 468 234 200 12
key shift+r
circle rhexis 468 234 90 12
key Escape

# A field of the report's words, in the sheet of findings.
has_words() { "$program" report "$case" -o "$work/words.json" 2>/dev/null && grep -q "Kept the edge in view" "$work/words.json"; }
key F4
key ctrl+shift+p
write "Kept the edge in view"
key Return
wait_until "the trainee's own view" has_words

# The report, by one key; then the window is closed as a user closes it.
key ctrl+p
wait_until "the report" test -s "$case/report.pdf"
close_window

check "steps" "$(count '\tstep\t')" 4
check "moments" "$(count '\tremark\t.*Steady')" 1
check "points of the rhexis" "$(points_of rhexis)" 12
pdftotext "$case/report.pdf" - | grep -q "Rhexis" && echo "ok: the report names the step" || { echo "FAILED: the report does not name the step" >&2; failures=$((failures + 1)); }
pdftotext "$case/report.pdf" - | grep -q "Steady hand here" && echo "ok: the report has the remark" || { echo "FAILED: the report lacks the remark" >&2; failures=$((failures + 1)); }
cmp -s "$recording" "$work/vtest.avi" && echo "ok: the recording is unchanged" || { echo "FAILED: the recording was changed" >&2; failures=$((failures + 1)); }

if "$program" --help | grep -q '^  measure '; then
  # The circle of 90 screen pixels in a limbus of 200 screen pixels that is 11.71 mm across: 5.27 mm as seen.
  value=$("$program" measure "$case" --json - | tr -d '\n' | grep -oP '"rhexis.diameter_equivalent.as_seen", *"value": *\K[0-9.]+' | head -1)
  awk -v v="${value:-0}" 'BEGIN {exit !(v > 5.27 * 0.97 && v < 5.27 * 1.03)}' && echo "ok: the rhexis measures $value mm as seen" ||
    { echo "FAILED: the rhexis measures '$value' mm, wanted 5.27 within 3 %" >&2; failures=$((failures + 1)); }
fi
exit $((failures > 0))
