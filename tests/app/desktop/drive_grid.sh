#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# The same step of four cases in the real window, 1600 by 900, playing together: the picture of each goes on by
# itself, all stand on one key, and each goes on by frames.
# Usage: drive_grid.sh PROGRAM
program=$1
. "$(dirname "$0")/window_driver.sh"

open_display 1600x900
mkdir "$work/cases"
cp "$recording" "$work/operation.avi"
for number in 1 2 3 4; do
  "$program" new "$work/cases/G-$number" --recording "$work/operation.avi" --set code=G-$number \
    --set date=2026-03-0$number --set operator_code=T1 --set step_list=phacoemulsification >/dev/null || exit 1
  "$program" tag "$work/cases/G-$number" --step rhexis --at $((number * 10)) --to $((number * 10 + 30)) >/dev/null || exit 1
done
case="$work/cases/G-4"
open_window 1600x900 "$case"
on_sheet() { shows 1594 400 '#181A1D'; }
wait_until "the sheet" on_sheet

# Two by two below the line of the step; the middle of each.
seen() {  # NUMBER: a digest of the middle of that picture
  local x=$((200 + 806 * (($1 - 1) % 2))) y=$((100 + 419 * (($1 - 1) / 2)))
  import -silent -window "$window" -crop "400x250+$x+$y" rgb:- | md5sum
}
remember() { local i; for i in 1 2 3 4; do was[i]=$(seen $i); done; }
all_changed() { local i; for i in 1 2 3 4; do [ "${was[i]}" != "$(seen $i)" ] || return 1; done; }
none_changed() { local i; for i in 1 2 3 4; do [ "${was[i]}" = "$(seen $i)" ] || return 1; done; }
each_other() { [ "$(for i in 1 2 3 4; do seen $i; done | sort -u | wc -l)" = 4 ]; }

key ctrl+shift+k
wait_until "four cases" each_other
for _ in 1 2 3; do
  remember
  wait_until "all four go on by themselves" all_changed
done
echo "ok: four pictures play together"
key space
rest() { remember; sleep 1; none_changed; }
wait_until "all four stand" rest
remember
key Right
wait_until "all four by a frame" all_changed
echo "ok: they stand and go on by frames together"
key Escape
wait_until "this case alone" on_sheet
close_window
exit $((failures > 0))
