#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# The real window, 1280 by 720, on a machine without any device for sound: a recording with sound plays, a spoken
# remark is refused in one sentence, and everything else goes on; then a recording that has no sound. At last it can't
# be kept how the window was left: it says so and stays until it is closed again.
# Usage: drive_without_sound.sh PROGRAM
program=$1
. "$(dirname "$0")/window_driver.sh"

open_display 1280x720
export SDL_AUDIODRIVER=none-of-them
ffmpeg -nostdin -v error -i "$recording" -f lavfi -i sine -t 20 -c:v copy -c:a pcm_s16le "$work/sounding.mkv" || exit 1
cp "$recording" "$work/silent.avi"

goes_on() {  # the picture changes by itself
  local before
  before=$(import -silent -window "$window" -crop 300x200+320+120 rgb:- | md5sum)
  sleep 0.5
  [ "$before" != "$(import -silent -window "$window" -crop 300x200+320+120 rgb:- | md5sum)" ]
}
stands() { ! goes_on; }
warned() {  # something in the bottom line is orange, as warnings are: much more red than blue
  import -silent -window "$window" -crop 1280x28+0+692 -depth 8 -format %c histogram:info:- 2>/dev/null |
    sed -nE 's/.*#([0-9A-F]{2})[0-9A-F]{2}([0-9A-F]{2}).*/\1 \2/p' |
    while read -r red blue; do [ $((16#$red - 16#$blue)) -lt 80 ] || echo orange; done | grep -q orange
}
not_warned() { ! warned; }
stays_and_warns() { alive && warned; }

for name in sounding.mkv silent.avi; do
  case="$work/${name%.*} case"
  open_window 1280x720 "$work/$name"
  [ "$name" != sounding.mkv ] || wait_until "that there is no device is said" warned
  press_until "$name as a case" s there_are 1 '\tstep\t.*\tside_port'
  key space
  wait_until "$name, playing" goes_on
  key space
  wait_until "$name, standing" stands
  wait_until "what was said is over" not_warned
  xdotool keydown --window "$window" F9
  wait_until "that there is no microphone is said" warned
  xdotool keyup --window "$window" F9
  check "spoken remarks of $name" "$(count '\tremark\t')" 0
  # Enter, held for longer than a moment, only opens what it opens.
  hold 0.7 Return; write "typed instead"; key Return
  wait_until "the remark, typed" there_are 1 '\tremark\t.*typed instead'
  if [ "$name" = silent.avi ]; then
    wait_until "what was said of the microphone is over" not_warned
    rm -rf "$work/config/afterscope"
    touch "$work/config/afterscope"
    ask_to_close
    wait_until "that it can't be kept how the window was left is said" stays_and_warns
    rm "$work/config/afterscope"
    ask_to_close
    wait "$window_pid"
    check "the status of the window that was closed again" $? 0
    window_pid=
    check_that "how the window was left, kept" test -s "$work/config/afterscope/window.json"
  else
    close_window
  fi
  check_that "the case of $name is whole" "$program" check "$case"
done
exit $((failures > 0))
