#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# A teacher prepares a case in the real window, 2560 by 1440 and text of 150 %: a recording is dropped on the empty
# window; teaching points, an arrow, words on the picture; marks taken to another frame; own words for a step; a
# step list from a file.
# Usage: drive_teacher.sh PROGRAM DROP_FILES
program=$1
drop_files=$2
. "$(dirname "$0")/window_driver.sh"

open_display 2560x1440
cp "$recording" "$work/teaching.avi"
case="$work/teaching case"
open_window 2560x1440
for _ in 1 2 3 4 5; do key ctrl+plus; done
check_that "files dropped on the window are taken" "$drop_files" "$window" 600 400 "$work/teaching.avi"

press_until "the case" r test -f "$case/case.json"
wait_until "the step" there_are 1 '\tstep\t.*\trhexis'
times 3 shift+Right
key shift+n
write "Edge under tension"; key Return
wait_until "the teaching point" there_are 1 '\tteaching point\t.*Edge under tension'

# An arrow from here to there, and words at its end.
key shift+a
there_is_arrow() { has_points arrow 2; }
arrow() { click 700 500; click 800 420; }
end=$((SECONDS + patience))
until there_is_arrow; do
  [ $SECONDS -lt $end ] || die "the arrow did not come"
  arrow
  for _ in 1 2 3 4 5 6 7 8 9 10; do there_is_arrow && break; sleep 0.1; done
done
key shift+b
click 640 540
write "the flap"; key Return
wait_until "the words on the picture" there_are 1 '\tlabel\t.*the flap'

# The marks of this frame on another one.
key ctrl+c
times 2 shift+Right
key ctrl+v
wait_until "the copied marks" there_are 2 '\tlabel\t.*the flap'

# A step that the list lacks, in own words: it joins the list of the case, with a key of its own.
key shift+w
write "Iris hooks"; key Return
wait_until "the step in own words" there_are 1 '\tstep\t.*\tiris_hooks'
check_that "the list of the case has it" grep -q '"Iris hooks"' "$case/phacoemulsification.json"

# A step list that somebody shared.
cat >"$work/shared.json" <<'LIST'
{"id": "shared", "name": "Shared list", "steps": [{"key": "look", "name": "Look", "shortcut": "q"}], "checks": []}
LIST
check_that "a step list dropped on the window is taken" "$drop_files" "$window" 600 400 "$work/shared.json"
times 2 shift+Right
press_until "a step of the shared list" q there_are 1 '\tstep\t.*\tlook'
check_that "the shared list is kept with the case" test -f "$case/shared.json"

key ctrl+l
wait_until "the light colours" shows 4 1200 '#F3F2EE'
key ctrl+p
wait_until "the report" test -s "$case/report.pdf"
close_window
check_that "the case is whole" "$program" check "$case"
check_that "the report has the teaching point" sh -c "pdftotext '$case/report.pdf' - | grep -q 'Edge under tension'"
exit $((failures > 0))
