#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Reviewing fairly in the real window, 1440 by 900: a mentor's blinded review from a folder of cases, signed; a
# new version of it; marks moved by keys; the operator's own view, signed; the differences between the two. Read
# back with the commands.
# Usage: drive_fairly.sh PROGRAM
program=$1
. "$(dirname "$0")/window_driver.sh"

open_display 1440x900
mkdir "$work/cases"
for code in EYE-1 EYE-2; do
  cp "$recording" "$work/$code.avi"
  "$program" new "$work/cases/$code" --recording "$work/$code.avi" --set code=$code --set date=2026-03-0${code#EYE-} \
    --set operator_code=T1 --set supervisor_code=S1 --set step_list=phacoemulsification >/dev/null || exit 1
done
# The first in the list without names: opened by its key, it begins a review.
has_review() { "$program" tag "$work/cases/EYE-1" --reviews 2>/dev/null | grep -q blinded || "$program" tag "$work/cases/EYE-2" --reviews 2>/dev/null | grep -q blinded; }
reviews() { "$program" tag "$case" --reviews 2>/dev/null; }
review_is() { reviews | grep -qP "$1"; }

open_window 1440x900 "$work/cases"
key ctrl+shift+b
press_until "a blinded review" alt+Next has_review
case="$work/cases/EYE-1"
reviews | grep -q blinded || case="$work/cases/EYE-2"
picture_there() { [ "$(colour_at 300 560)" != '#0E0F11' ]; }
wait_until "the picture, once it is known what of it is to be covered" picture_there
listed() { "$program" tag "$case" --review r1 --list 2>/dev/null; }
press_until "the first step" s there_are 1 '\tstep\t.*\tside_port'
times 2 shift+Right
key r
wait_until "the second step" there_are 1 '\tstep\t.*\trhexis'
key ctrl+k  # refused: nothing is compared

# A ruler of two points; one is chosen by its key and moved by 1 + 10 pixels.
key shift+m
click 300 300
click 500 300
has_ruler() { listed | grep -q 'ruler'; }
wait_until "the ruler" has_ruler
key Escape
first_x() { "$program" tag "$case" --review r1 --list --json 2>/dev/null | tr -d ' \n' | grep -oP '"kind":"ruler"[^]]*?"points":\[\[\K[0-9.]+|"points":\[\[\K[0-9.]+(?=[^]]*\][^]]*\]\][^}]*"kind":"ruler")' | head -1; }
before=$(first_x)
key ctrl+n
key Right shift+Right
moved() { awk -v a="$before" -v b="$(first_x)" 'BEGIN {exit !(b - a > 10.99 && b - a < 11.01)}'; }
wait_until "the point moved by eleven pixels" moved
key ctrl+Delete
gone() { ! has_ruler; }
wait_until "the ruler removed" gone
key ctrl+z
wait_until "the ruler again" has_ruler
key Escape

# Signed by a code, then the question whether the operator was recognised.
pace=0.5
key ctrl+shift+s
write M1
key Return
wait_until "the review signed" review_is '^r1\tM1\tformative.*\tsigned'
write n
key Return
recognised() { grep -q '"recognised": *"no"' "$case/journal"; }
wait_until "the answer" recognised

# Sealed: a step's key changes nothing; a new version does.
key l
key ctrl+shift+e
wait_until "the new version" review_is '^r1-v2\tM1\t.*version 2\tnot signed'
check "the signed one is as it was" "$(listed | grep -cP '\tstep\t')" 2

# The operator's own view: begun from the sheet of the review, hidden from the mentor's until both are signed.
key ctrl+r
close_window
"$program" tag "$case" --review own --self --reviewer T1 --step side_port --at 0 --to 1 >/dev/null 2>&1
"$program" tag "$case" --review own --reviewer T1 --sign >/dev/null 2>&1
check "the own view is signed" "$(reviews | grep -cP '^own\tT1\t.*own view.*\tsigned')" 1
check "the case is whole" "$("$program" check "$case" >/dev/null 2>&1; echo $?)" 0
exit $((failures > 0))
