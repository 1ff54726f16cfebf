#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# The same step of four cases in the real window, 1600 by 900, playing together: the picture of each goes on by
# itself, all stand on one key, and each goes on by frames. Then their chart: the pointer tells the case of a point,
# a click opens it at that step, and a key that a text field has no use for acts while one is typed in.
# Usage: drive_grid.sh PROGRAM
program=$1
. "$(dirname "$0")/window_driver.sh"

open_display 1600x900
mkdir "$work/cases"
cp "$recording" "$work/operation.avi"
for number in 1 2 3 4; do
  "$program" new "$work/cases/G-$number" --recording "$work/operation.avi" --set code=G-$number \
    --set date=2026-03-0$number --set operator_code=T1 --set step_list=phacoemulsification >/dev/null || exit 1
  "$program" tag "$work/cases/G-$number" --step rhexis --at $((number * 10)) --to $((number * 13 + 20)) >/dev/null || exit 1
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

# The chart of the step: each case takes longer than the one before, so that the points rise from left to right.
dots_alone() { import -silent -window "$window" -crop 1180x560+40+50 +repage png:- | convert - -fill black +opaque '#56B4E9' -fill white -opaque '#56B4E9' png:-; }
dots() { dots_alone | convert - -format '%@' info:; }
point() {  # first|last: where that point is
  local box width height x y
  box=$(dots)
  IFS=x+ read -r width height x y <<<"$box"
  if [ "$1" = first ]; then echo "$((x + 43)) $((y + height + 47))"; else echo "$((x + width + 37)) $((y + 53))"; fi
}
points_drawn() {  # NUMBER
  [ "$(dots_alone | convert - -define connected-components:area-threshold=8 -define connected-components:verbose=true \
    -connected-components 8 null: | grep -cE '(255,255,255|gray\(255)\)')" = "$1" ]
}
told() { import -silent -window "$window" -crop 900x640+18+60 rgb:- | md5sum; }
told_anew() { [ "$(told)" != "$1" ]; }
seen_from_chart() { case="$work/cases/$1" there_are 1 "\tremark\t$2\t.*Seen from the chart"; }
is_open() { "$program" tag "$work/cases/$1" --list 2>&1 >/dev/null | grep -q 'another program'; }
below() { import -silent -window "$window" -crop 1600x230+0+650 rgb:- | md5sum; }
at_rest() {  # nothing below the picture changes for four looks, a second apart
  local before=$(below) i
  for i in 1 2 3 4; do sleep 1; [ "$before" = "$(below)" ] || return 1; done
}
remark_where_it_is() {  # CASE SECONDS
  wait_until "the case $1" is_open "$1"
  wait_until "the picture of $1" on_picture
  wait_until "$1 at rest" at_rest
  key Return
  write "Seen from the chart"
  key Return
  wait_until "a remark in $1 at $2" seen_from_chart "$1" "$2"
}
on_picture() { ! shows 700 20 '#181A1D'; }
pace=0.2
key shift+F3
wait_until "the chart" points_drawn 4
xdotool mousemove 700 20
before=$(told)
xdotool mousemove $(point last)
wait_until "the case under the pointer" told_anew "$before"
before=$(told)
xdotool mousemove $(point first)
wait_until "another case under the pointer" told_anew "$before"
click $(point first)
remark_where_it_is G-1 0:00:10.000
echo "ok: the pointer tells the case of a point, a click opens it at the step"

key shift+F3
wait_until "the chart again" points_drawn 4
key alt+4
write "2026-03-03"
key alt+1
wait_until "the chart of the cases since the date that was typed" points_drawn 2
click $(point first)
remark_where_it_is G-3 0:00:30.000
echo "ok: a key acts while a field is typed in, and what was typed is kept"
close_window
exit $((failures > 0))
