#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# How many keys and clicks it takes to tag a case of the demo and write its report: every step with its end, three
# moments, two settings, limbus, rhexis and lens edge (of these two a few points, the rest proposed). The steps are pressed while the recording plays at four
# times its speed, when they come; the result is compared with the demo's own tags. A typed letter is a key; a
# chord (Shift+L) counts as one, and a second figure counts every key that goes down.
# Usage: input_cost.sh PROGRAM CASE_OF_THE_DEMO
program=$1
demo=$2
. "$(dirname "$0")/window_driver.sh"
truth() { "$program" tag "$demo" --list 2>/dev/null; }
source=$(sed -nE 's/.*"path": *"([^"]*)".*/\1/p' "$demo/case.json" | head -1)

open_display 1280x720
cp "$demo/$source" "$work/demo.mp4"
case="$work/demo case"
open_window 1280x720 "$work/demo.mp4"
wait_until "the picture" sh -c "[ \"$(colour_at 460 230)\" != '#0E0F11' ]"
downs=0
press() {  # KEY...: counted both ways
  local each
  for each in "$@"; do
    key "$each"
    downs=$((downs + 1 + $(grep -o + <<<"$each" | wc -l)))
  done
}
letters() { write "$1"; downs=$((downs + ${#1})); }
shortcut_of() { sed -nE "s/.*\"key\": \"$1\".*\"shortcut\": \"(.)\".*/\1/p" "$(dirname "$0")/../../../assets/step_lists/phacoemulsification.json" | head -1; }
seconds() { awk -F: '{print ($1 * 60 + $2) * 60 + $3}' <<<"$1"; }

# Playing at four times the speed: what is due when, in seconds of the case.
plan=$(truth | awk -F'\t' '$2 == "step" {print $3, $6; print $4, "end"}' | while read -r at what; do echo "$(seconds "$at") $what"; done)
press Up Up space
began=$(date +%s.%N)
while read -r at what; do
  wait_s=$(awk -v at="$at" -v began="$began" -v now="$(date +%s.%N)" 'BEGIN {w = at / 4 - (now - began); print (w > 0 ? w : 0)}')
  sleep "$wait_s"
  [ "$what" = end ] && press period || press "$(shortcut_of "$what")"
done <<<"$plan"
press space
tagged=$pressed
visits=$(truth | grep -cP '\tstep\t')
wait_until "all steps" there_are "$visits" '\tstep\t'
check "the steps in their order" "$(listed | awk -F'\t' '$2 == "step" {printf "%s ", $6}')" "$(truth | awk -F'\t' '$2 == "step" {printf "%s ", $6}')"
late=$(paste <(listed | awk -F'\t' '$2 == "step" {print $3}') <(truth | awk -F'\t' '$2 == "step" {print $3}') |
  while read -r a b; do awk -v a="$(seconds "$a")" -v b="$(seconds "$b")" 'BEGIN {print a - b}'; done | sort -n | tail -1)
echo "keys for $visits visits: $((tagged - 4)) (at most $((2 * visits))), and 4 for play and speed; latest start $late s after the demo's own"

# What belongs elsewhere is gone to by a click on the strip of the operation, counted too: the times are those of
# the demo's own moments and marks.
length=$(seconds "$(truth | awk -F'\t' '$2 == "step" {print $4}' | tail -1)")
total=$("$program" info "$work/demo.mp4" --json | sed -nE 's/.*"seconds": *([0-9.]+).*/\1/p' | head -1)
go_to() {  # CLOCK TIME: the strip lies from 12 to 1268
  click "$(awk -v at="$(seconds "$1")" -v all="${total:-$length}" 'BEGIN {printf "%d", 12 + 1256 * at / all + 0.5}')" 535
  downs=$((downs + 1))
}
time_of() { truth | awk -F'\t' -v what="$1" '$2 == what {print $3; exit}'; }
settings_at() { truth | awk -F'\t' -v what="$1" '$2 == "settings" && $4 == what {print $3; exit}'; }

# The picture, 1280 x 720, lies in the middle of what the sheet and the timeline leave of the window.
middle_x=456 middle_y=233 pixel=0.6486
on_edge() {  # MARK EVERY: places of the window, every so many points of an outline of the demo
  sed -nE "s/.*\"id\":\"$1\".*\"points\":\[\[(.*)\]\],\"text\".*/\1/p" "$demo"/reviews/r1/review.json | sed 's/\],\[/\n/g' |
    awk -F, -v every="$2" -v x=$middle_x -v y=$middle_y -v pixel=$pixel \
      '(NR - 1) % every == 0 {printf "%d %d\n", x + ($1 - 640) * pixel + 0.5, y + ($2 - 360) * pixel + 0.5}'
}
is_outline() { [ "$(points_of "$1")" -ge 20 ]; }  # KIND
outline() {  # KIND MARK EVERY: four clicks on the edge, then the key that proposes the rest
  local x y count=0
  while read -r x y; do click_point "$x" "$y" "$1" $((count += 1)); done < <(on_edge "$2" "$3")
  press ctrl+g
  wait_until "the proposed outline of the $1" is_outline "$1"
}

# At the end of the recording: a check, and the lens edge.
press shift+k; letters "wo"; press Return
wait_until "the check" there_are 1 '\tcheck\t\S+\twound_tight'
press shift+e
outline "lens edge" lens-edge 6

# The teaching point, of four letters (a longer one takes as many more; a spoken one takes one key).
go_to "$(time_of "teaching point")"
press shift+n; letters "edge"; press Return
wait_until "the teaching point" there_are 1 '\tteaching point\t'

# The complication, and two settings.
go_to "$(settings_at sculpt)"
press shift+c; letters "tak"; press Return
wait_until "the complication" there_are 1 '\tcomplication\t\S+\ttake_over'
press shift+s; letters "s 60"; press Return
wait_until "the settings" there_are 1 '\tsettings\t.*sculpt'
go_to "$(settings_at fragments)"
press shift+s; letters "f 40"; press Return
wait_until "the second settings" there_are 1 '\tsettings\t.*fragments'

# Limbus and rhexis where the demo has them.
go_to "$(truth | awk -F'\t' '$1 == "rhexis" {print $3}')"
press shift+l
circle limbus $middle_x $middle_y 150 8
press shift+r
outline rhexis rhexis 10
downs=$((downs + 16))
near() {  # KIND TIME: the mark lies within half a second of it
  awk -v a="$(seconds "$(listed | awk -F'\t' -v kind="$1" '$2 == kind {print $3}' | tail -1)")" -v b="$(seconds "$2")" 'BEGIN {exit !(a - b < 0.5 && b - a < 0.5)}'
}
check_that "the rhexis was marked where the demo has it" near rhexis "$(truth | awk -F'\t' '$1 == "rhexis" {print $3}')"
press ctrl+p
wait_until "the report" test -s "$case/report.pdf"
close_window
echo "keys and clicks in all: $pressed with a chord as one, $downs with every key that goes down"
check_that "at most 90 keys and clicks" test "$pressed" -le 90
check_that "tagging alone: at most 2 a visit" test $((tagged - 4)) -le $((2 * visits))
exit $((failures > 0))
