#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# A teacher's evening in the real window, 1280 by 720: a narration is dropped on the case and its drafts are gone
# through; steps become parts of a clip, which is looked at and made; a clip of one key; the case is scored; the
# series of its folder is looked at.
# Usage: drive_clips.sh PROGRAM DROP_FILES
program=$1
drop_files=$2
. "$(dirname "$0")/window_driver.sh"

open_display 1280x720
export XDG_DATA_HOME=$work/data
mkdir "$work/cases"
cp "$recording" "$work/teaching.avi"
case="$work/cases/K-1"
"$program" new "$case" --recording "$work/teaching.avi" --set code=K-1 --set date=2026-11-02 \
  --set operator_code=T1 >/dev/null || die "no case could be made"
cat >"$work/talk.vtt" <<'TALK'
WEBVTT

00:00:05.000 --> 00:00:12.000
Side port with the fifteen degree blade.

00:00:20.000 --> 00:00:30.000
We begin the capsulorhexis and fold the flap over.

00:00:40.000 --> 00:00:50.000
Cortex now with I/A, vacuum four hundred.
TALK
open_window 1280x720 "$case"

# The narration becomes drafts; nothing is in the record before it is accepted.
check_that "a narration dropped on the window is taken" "$drop_files" "$window" 600 200 "$work/talk.vtt"
kept() { grep -q "$1" "$case"/reviews/*/journal; }
wait_until "the captions" kept 'fold the flap over'
check "steps before anything is accepted" "$(count '^[a-z0-9-]+\tstep\t')" 0
press_until "the first draft as a step" Return there_are 1 '^[a-z0-9-]+\tstep\t.*\tside_port'
key ctrl+z
wait_until "the draft back" there_are 0 '^[a-z0-9-]+\tstep\t'
press_until "the step again" Return there_are 1 '^[a-z0-9-]+\tstep\t.*\tside_port'
key Delete
wait_until "a draft refused" kept 'Refuse'
# The next one begins earlier than it was spoken of: it is moved there, then accepted.
moved() { there_are 1 '\topen draft\t0:00:1[0-9.]+\tstep\trhexis'; }
end=$((SECONDS + patience))
until moved; do
  [ $SECONDS -lt $end ] || die "the rhexis of the narration was not moved"
  times 3 shift+Left
  key period
  sleep 1
  moved || key Tab
done
key Return
wait_until "the moved draft as a step" there_are 1 '^[a-z0-9-]+\tstep\t0:00:1[0-9.]+\t.*\trhexis'
key Escape

# A clip without consent is refused; then it is noted as the case's fields say, outside the window.
key shift+x
sleep 2
check "clips made without consent" "$(find "$case/clips" -name '*.mp4' 2>/dev/null | wc -l)" 0
close_window
"$program" tag "$case" --set "consent.local teaching=given" >/dev/null 2>&1 || die "the consent could not be noted"

open_window 1280x720 "$case"
key shift+F4 shift+F2 Home Next
plan="$case/clips/clip.json"
press_until "the step as a part of the clip" shift+v test -s "$plan"
holds() { grep -Eq "$1" "$plan"; }
check_that "the part has the step's name" holds 'Side port|Rhexis'
press_until "the part at twice the speed" Up holds '"speed": ?2'
key alt+t
wait_until "the timer" holds '"timer": ?true'
key alt+v
# An arrow with words, drawn and then dragged by its head; a drag is one change.
key shift+a
sleep 1
drag 300 300 430 220
write "the flap"; key Return
wait_until "the arrow with its words" holds '"text": ?"the flap"'
head_at() { grep -oE '"to_x": ?[0-9.]+' "$plan"; }
drawn_at=$(head_at)
elsewhere() { [ "$(head_at)" != "$drawn_at" ]; }
there_again() { [ "$(head_at)" = "$drawn_at" ]; }
drag_until "the arrow's head elsewhere" 430 220 500 150 elsewhere
key ctrl+z
wait_until "all of the drag taken back" there_again
key space
sleep 2
key Escape
key ctrl+s
sleep 1
key Return
is_clip() { [ "$(find "$case/clips" -name "$1" | wc -l)" = 1 ] && "$program" info "$case/clips/$1"; }
wait_until "the clip" is_clip K-1-clip.mp4
check_that "the clip carries nothing that identifies" "$program" check --sharing "$case/clips/K-1-clip.mp4"
key shift+x
made() { [ "$(find "$case/clips" -name '*.mp4' | wc -l)" = 2 ]; }
wait_until "the clip of one key" made

# Scores beside the picture.
key shift+F1
scored() { "$program" score "$case" --sheet whole_operation 2>/dev/null | grep -q '1 scored'; }
press_until "a score" 3 scored

# The series of the folder, over the picture.
key shift+F3
wait_until "the index" test -s "$XDG_DATA_HOME/afterscope/cases.sqlite"
close_window
check_that "the case is whole" "$program" check "$case"
exit $((failures > 0))
