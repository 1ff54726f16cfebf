#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# How many keys and clicks it takes to tag a case of the demo and write its report: every step with its end, three
# moments, two settings, limbus, rhexis and lens edge. The steps are pressed while the recording plays at four
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
echo "keys for $visits visits: $tagged (at most $((2 * visits)) beside play and speed); latest start $late s after the demo's own"

# Three moments, two settings.
press shift+c; letters "surg"; press Return
wait_until "the complication" there_are 1 '\tcomplication\t'
press shift+n; letters "edge"; press Return
wait_until "the teaching point" there_are 1 '\tteaching point\t'
press shift+k; letters "wo"; press Return
wait_until "the check" there_are 1 '\tcheck\t\S+\twound_tight'
press shift+s; letters "sc 60"; press Return
wait_until "the settings" there_are 1 '\tsettings\t.*sculpt'
press shift+s; letters "fr 40"; press Return
wait_until "the second settings" there_are 1 '\tsettings\t.*fragments'

# Outlines at the end of the operation: limbus, rhexis, lens edge.
press shift+l
circle limbus 468 234 150 8
press shift+r
circle rhexis 468 234 70 8
press shift+e
circle "lens edge" 468 234 90 8
downs=$((downs + 24))
press ctrl+p
wait_until "the report" test -s "$case/report.pdf"
close_window
echo "keys and clicks in all: $pressed with a chord as one, $downs with every key that goes down"
check_that "at most 90 keys and clicks" test "$pressed" -le 90
check_that "tagging alone: at most 2 a visit" test $((tagged - 4)) -le $((2 * visits))
exit $((failures > 0))
