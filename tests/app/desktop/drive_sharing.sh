#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# A teacher makes a recording fit to be shown, in the real window, 1280 by 720: burnt-in words and a clock are found
# and covered, a further cover is drawn and moved with the mouse; a voice-over is spoken while the recording plays,
# rests and is moved through, and spoken again; captions, chapters and steps are written; the clip shows nothing of what
# is covered. The microphone is a file.
# Usage: drive_sharing.sh PROGRAM
program=$1
. "$(dirname "$0")/window_driver.sh"

open_display 1280x720
# A picture that moves everywhere but where words are burnt in.
font=$(fc-match -f '%{file}' 'Noto Sans')
ffmpeg -nostdin -v error -t 8 -i "$recording" -f lavfi -i sine -t 8 -vf "rotate=0.3*sin(2*t),\
drawtext=fontfile=$font:text='%{pts\:gmtime\:1763999000\:%Y-%m-%d %T}':x=430:y=24:fontsize=26:fontcolor=white,\
drawtext=fontfile=$font:text='THEATRE 2  ID 99-1234':x=24:y=520:fontsize=26:fontcolor=white" \
  -c:v libx264 -preset ultrafast -g 25 -pix_fmt yuv420p -c:a aac "$work/burnt in.mp4" || exit 1
ffmpeg -nostdin -v error -f lavfi -i "sine=frequency=300:sample_rate=48000" -t 60 -f f32le "$work/spoken.raw" || exit 1
export SDL_AUDIODRIVER=disk SDL_DISKAUDIOFILEIN=$work/spoken.raw SDL_DISKAUDIOFILE=/dev/null
case="$work/case"
"$program" new "$case" --recording "$work/burnt in.mp4" --set code=K-2 --set "consent.local teaching=given" >/dev/null ||
  die "no case could be made"
open_window 1280x720 "$case"
press_until "a step" r there_are 1 '\tstep\t.*\trhexis'

# What is burnt in is covered as far as it is found.
key shift+F2 alt+x
covers() { count '\tcover\t'; }
covered() { [ "$(covers)" -ge 2 ]; }
wait_until "covers for the words that were found" covered
found=$(covers)

# A further one from corner to corner in one drag; then it is moved as a whole.
key shift+h
sleep 1
one_more() { [ "$(covers)" -gt "$found" ]; }
drag 300 120 400 180
wait_until "a cover that was drawn" one_more
kept() { grep -q "$1" "$case"/reviews/*/journal; }
drag 350 150 420 220
wait_until "the cover elsewhere" kept '"label":"Move point"'
sleep 1
check "what the cover hides" "$(colour_at 450 245)" '#000000'
key Escape

# A take, over what was seen meanwhile; then the same anew.
takes="$case/clips/voice/takes.json"
sound_of_take() { grep -o '"sha256": *"[^"]*"' "$takes"; }
key Home alt+y
sleep 1
key space
sleep 1.5
key space shift+Left shift+Right Right
sleep 0.5
key alt+y
wait_until "the take" test -s "$takes"
check_that "the take knows more than two places" [ "$(grep -o '"ticks"' "$takes" | wc -l)" -gt 2 ]
first_sound=$(sound_of_take)
spoken_anew() { [ "$(sound_of_take)" != "$first_sound" ]; }
sleep 1
key alt+shift+y
sleep 2
key alt+y
wait_until "the take, spoken again" spoken_anew
check "takes" "$(grep -c '"sha256"' "$takes")" 1
sleep 1
key alt+shift+w
write "keep the flap flat"; key Return
wait_until "the words of the take" grep -q 'keep the flap flat' "$takes"

# What was said and done as files; the steps come back to the same frames.
key alt+shift+k
wait_until "the table of steps" test -s "$case/clips/K-2-steps.csv"
check_that "the captions have the words of the take" grep -q 'keep the flap flat' "$case/clips/K-2-captions.vtt"
check_that "the chapters have the step" grep -q 'Rhexis' "$case/clips/K-2-chapters.vtt"
times_of_steps() { "$program" tag "$1" --list 2>/dev/null | awk -F'\t' '$2 == "step" {print $3, $4, $6}'; }
"$program" new "$work/again" --recording "$work/burnt in.mp4" >/dev/null
check_that "the table is taken in" "$program" import "$work/again" --steps "$case/clips/K-2-steps.csv" --unit seconds
check "the steps from the table" "$(times_of_steps "$work/again")" "$(times_of_steps "$case")"

# The clip, with the voice-over.
key shift+v
wait_until "the step as a part" test -s "$case/clips/clip.json"
key alt+shift+v
wait_until "the voice-over of the part" grep -Eq '"voice": ?true' "$case/clips/clip.json"
key ctrl+s
sleep 1
key Return
wait_until "the clip" "$program" check --sharing "$case/clips/K-2-clip.mp4"
close_window
check "sound in the clip" \
  "$(ffprobe -v error -select_streams a -show_entries stream=codec_name -of csv=p=0 "$case/clips/K-2-clip.mp4")" aac
# 768 by 576 pixels lie in the middle of 1280 by 720, 1.25 times as large: the clock is seen from 697, 30 on.
ffmpeg -nostdin -v error -ss 3 -i "$case/clips/K-2-clip.mp4" -frames:v 1 "$work/frame.png"
spread() { convert "$work/frame.png" -crop "$1" -colorspace gray -format '%[fx:standard_deviation < 0.01]' info:; }
check "the clock is not to be seen" "$(spread 260x24+705+36)" 1
check "the other words are not to be seen" "$(spread 300x24+195+656)" 1
check "the picture is to be seen" "$(spread 300x200+450+250)" 0
check_that "the case is whole" "$program" check "$case"
exit $((failures > 0))
