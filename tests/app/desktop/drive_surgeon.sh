#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# A surgeon's evening in the real window, 1920 by 1080: the day's folder becomes cases, by the keyboard alone; a
# case is tagged with both hands, settings, a complication and a check; it is compared with an earlier case of the
# same operator and with all that have the step; its report is written and read; what is being typed when the
# window is closed is kept.
# Usage: drive_surgeon.sh PROGRAM
program=$1
. "$(dirname "$0")/window_driver.sh"

open_display 1920x1080
mkdir "$work/day"
for hour in 08 09 10; do cp "$recording" "$work/day/2026-11-02_$hour-00-00_A.avi"; done
open_window 1920x1080 "$work/day"

# The table of the day: the eye of each row, then the operator once, taken along by Enter.
field() { sed -nE "s/.*\"$2\": \"?([^\",]*).*/\1/p" "$work/day/2026-11-02_$1-00-00_A case/case.json" | head -1; }
made() { [ "$(find "$work/day" -name case.json | wc -l)" = "$1" ]; }
wait_until "the table of the day" shows 60 400 '#181A1D'
before=$pressed
pace=0.15
write r; key Return
write l; key Return
write r
key Up Up Tab
write S1; key Return Return
key ctrl+Return  # xdotool lets go of Ctrl before Enter
wait_until "the cases" made 3
check "eyes and operator of the day" \
  "$(for hour in 08 09 10; do echo "$(field $hour eye) $(field $hour operator_code) $(field $hour date)"; done | tr '\n' ';')" \
  "right S1 2026-11-02;left S1 2026-11-02;right S1 2026-11-02;"
echo "three cases were taken in with $((pressed - before)) keys"

# The first case of the list, once the table is gone and the list is there.
wait_until "the table gone" shows 20 300 '#0E0F11'
sleep 3
case="$work/day/2026-11-02_08-00-00_A case"
key alt+Next
press_until "the first step" s there_are 1 '\tstep\t.*\tside_port'
times 10 Right
key i
wait_until "the second step" there_are 1 '\tstep\t.*\tmain_incision'

# The other hand: its lane has its own visit, and its own end.
in_lane() { "$program" tag "$case" --list --json 2>/dev/null | tr -d ' \n' | grep -c "\"step\":\"$1\",\"lane\":$2"; }
key semicolon v
wait_until "the other hand's step" there_are 1 '\tstep\t.*\tviscoelastic'
check "it lies in the second lane" "$(in_lane viscoelastic 1)" 1
times 5 Right
key ctrl+period
wait_until "the end of the other hand's step" there_are 1 '\tstep\t.*\tviscoelastic' 
check "the first lane goes on" "$(count '\tmain_incision\topen')" 1

# Split, rename, remove; each undone by one key.
key shift+d
wait_until "the split" there_are 2 '\tstep\t.*\tmain_incision'
key F7 r
wait_until "the new name" there_are 1 '\tstep\t.*\trhexis'
key ctrl+z ctrl+z
wait_until "both undone" there_are 1 '\tstep\t.*\tmain_incision'

# Settings by beginnings of words; a complication; a check with its state, pinned where it is seen.
key shift+s
write "scu"; key Tab; write "tor"; key Tab; write "lin"; key Tab; write "60"; key Tab Tab; write "90"; key Return
wait_until "the settings" there_are 1 'sculpt, torsional, linear, Power 60 %, Vacuum 90 mmHg'
key shift+c
write "surge"; key Return
wait_until "the complication" there_are 1 '\tcomplication\t.*surge'
key shift+k
write "rhe1"; key Return
wait_until "the check" there_are 1 'rhexis_complete\tseen done'

# An earlier case of this operator beside this one, from a step that both have; then all that have it; and back.
for hour in 09 10; do
  "$program" tag "$work/day/2026-11-02_$hour-00-00_A case" --step main_incision --at 1 --to 3 \
    --set "date=2026-10-$hour" >/dev/null || die "the other case was not tagged"
done
on_sheet() { shows 1914 200 '#181A1D'; }
beside() { ! on_sheet; }
moves() {  # X Y WIDTH HEIGHT: that part of the window changes by itself
  local before
  before=$(import -silent -window "$window" -crop "$3x$4+$1+$2" rgb:- | md5sum)
  sleep 0.5
  [ "$before" != "$(import -silent -window "$window" -crop "$3x$4+$1+$2" rgb:- | md5sum)" ]
}
wait_until "the sheet" on_sheet
key ctrl+e
wait_until "the earlier case beside this one" beside
wait_until "this case, playing" moves 100 100 700 500
wait_until "the earlier case, playing" moves 1100 100 700 500
key Tab Return ctrl+m
key Escape
wait_until "this case alone" on_sheet
key ctrl+shift+k
wait_until "three cases beside each other" beside
key Escape
wait_until "this case alone again" on_sheet

# The report is written and shown over the picture: white paper.
paper() { shows 780 40 '#FFFFFF'; }
no_paper() { ! paper; }
key ctrl+p
wait_until "the page of the report" paper
check_that "the report is on disk" test -s "$case/report.pdf"
key Next Escape
wait_until "the picture again" no_paper
key alt+shift+p
wait_until "the report again" paper
key Escape
wait_until "the picture once more" no_paper

# A remark that is still being typed when the window closes.
key Return
write "Not entered yet"
close_window
check "what was being typed is kept" "$(count '\tremark\t.*Not entered yet')" 1
check_that "the case is whole" "$program" check "$case"
exit $((failures > 0))
