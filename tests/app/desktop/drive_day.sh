#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# The day's folder of ten operations becomes cases in the real window, 1366 by 768, by the keyboard alone: eye,
# operator and lens of each in one table, timed from the moment that the table is there. An eleventh recording is
# left out by its key.
# Usage: drive_day.sh PROGRAM
program=$1
. "$(dirname "$0")/window_driver.sh"

open_display 1366x768
mkdir "$work/day"
hours="08 09 10 11 12 13 14 15 16 17 18"
for hour in $hours; do cp "$recording" "$work/day/2026-11-02_$hour-00-00_A.avi"; done
open_window 1366x768 "$work/day"
wait_until "the table of the day" shows 20 300 '#181A1D'

began=$(date +%s.%N)
before=$pressed
pace=0.15
# The eye of each row; the last one is a recording of something else.
for hour in $hours; do
  if [ "$hour" = 18 ]; then key shift+Return; else write "$([ $((10#$hour % 2)) = 0 ] && echo r || echo l)"; fi
  [ "$hour" = 18 ] || key Return
done
# Up to the first row, then the operator and the lens, taken along by Enter.
times 10 Up
key Tab
write S1; times 9 Return
times 9 Up
key Tab
write 6.0; times 9 Return
key ctrl+Return  # xdotool lets go of Ctrl before Enter
made() { [ "$(find "$work/day" -name case.json | wc -l)" = "$1" ]; }
wait_until "ten cases" made 10
took=$(awk -v a="$began" -v b="$(date +%s.%N)" 'BEGIN {printf "%.0f", b - a}')
echo "ten cases were taken in with $((pressed - before)) keys in $took s"
check_that "it takes less than two minutes" test "$took" -lt 120

field() { sed -nE "s/.*\"$2\": \"?([^\",]*).*/\1/p" "$work/day/2026-11-02_$1-00-00_A case/case.json" | head -1; }
for hour in $hours; do
  [ "$hour" = 18 ] && continue
  check "the case of $hour o'clock" "$(field "$hour" eye) $(field "$hour" operator_code) $(field "$hour" optic_diameter_mm) $(field "$hour" date)" \
    "$([ $((10#$hour % 2)) = 0 ] && echo right || echo left) S1 6.0 2026-11-02"
done
check_that "the recording that was left out is no case" test ! -e "$work/day/2026-11-02_18-00-00_A case"

# The first of them is open on one key, ready to be tagged.
case="$work/day/2026-11-02_08-00-00_A case"
pace=0
key Escape
key alt+Next
press_until "its first step" s there_are 1 '\tstep\t.*\tside_port'
close_window
exit $((failures > 0))
