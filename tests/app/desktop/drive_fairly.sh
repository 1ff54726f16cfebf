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

# The operator's own view is hidden from the mentor's until both are signed: its differences are not gone to.
close_window
"$program" tag "$case" --review own --self --reviewer T1 --step side_port --at 5 --to 8 >/dev/null 2>&1 || die "no own view"
clock() { import -silent -window "$window" -crop 100x24+44+653 rgb:- | md5sum; }
open_beside() {  # the mentor's review again, with the sheet of reviews
  open_window 1440x900 "$case"
  wait_until "the picture" picture_there
  sheet_there() { shows 1430 300 '#181A1D'; }
  wait_until "the sheet" sheet_there
  sleep 2  # until the clock stands
  at_start=$(clock)
  key ctrl+r alt+shift+d
}
went() { key alt+n; sleep 0.3; [ "$(clock)" != "$at_start" ]; }
not_gone() { local i; for i in 1 2 3 4 5; do ! went || return 1; done; }
open_beside
check_that "differences are hidden while neither is signed" not_gone
key ctrl+shift+s
write M1
key Return
wait_until "the new version signed" review_is '^r1-v2\tM1\t.*\tsigned'
key Escape
key alt+shift+d
check_that "differences are hidden while the own view is not signed" not_gone
close_window
"$program" tag "$case" --review own --reviewer T1 --sign >/dev/null 2>&1
check "the own view is signed" "$(reviews | grep -cP '^own\tT1\t.*own view.*\tsigned')" 1
open_beside
wait_until "a difference, once both are signed" went
close_window
check "the case is whole" "$("$program" check "$case" >/dev/null 2>&1; echo $?)" 0
exit $((failures > 0))
