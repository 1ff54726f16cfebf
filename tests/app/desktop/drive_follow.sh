#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# A walking person's head in a street scene, as the tip of an instrument is followed in the real window: set on one
# frame, followed with one key, the frames in doubt set right one after another.
# Usage: drive_follow.sh PROGRAM
program=$(realpath "$1")
. "$(dirname "$0")/window_driver.sh"

open_display 1280x720
cp "$recording" "$work/street.avi"
case="$work/street case"
"$program" new "$case" --recording "$work/street.avi" >/dev/null || die "no case could be made"
mkdir "$work/here" "$work/temporary"
cd "$work/here" || die "no folder to start in"
export TMPDIR=$work/temporary
open_window 1280x720 "$case"
files() { ls "$case"/reviews/*/followed/trail-*.json 2>/dev/null | wc -l; }
corrected() { grep -o 'corrected' "$case"/reviews/*/journal* 2>/dev/null | wc -l; }

# Without a tip nothing is followed.
key shift+f
sleep 1
check "without a tip nothing is followed" "$(files)" 0
key shift+t
tip_is_set() { grep -q '"tip"\|trail' "$case"/reviews/*/journal* 2>/dev/null; }
end=$((SECONDS + patience))
until tip_is_set; do
  [ $SECONDS -lt $end ] || die "the tip did not come"
  click 600 260
  for _ in 1 2 3 4 5 6 7 8 9 10; do tip_is_set && break; sleep 0.1; done
done
# Drawn from the tip along the shaft, with Shift held: both are set.
key Home
shaft_is_set() { grep -qE '"hand",1(\.0)?,\[' "$case"/reviews/*/journal* 2>/dev/null; }
shift_drag() {
  xdotool keydown --window "$window" shift
  drag 600 260 640 330
  xdotool keyup --window "$window" shift
}
end=$((SECONDS + patience))
until shaft_is_set; do
  [ $SECONDS -lt $end ] || die "the shaft did not come"
  keep_focus
  shift_drag
  for _ in 1 2 3 4 5 6 7 8 9 10; do shaft_is_set && break; sleep 0.1; done
done
echo "ok: a shaft is drawn from the tip"
[ -n "${AFTERSCOPE_KEEP_SHAFT:-}" ] && key Home && sleep 2 && import -window root "$AFTERSCOPE_KEEP_SHAFT"
key Escape Home
key shift+f  # once: a second press would stop it
is_followed() { [ "$(files)" -gt 0 ]; }
wait_until "the followed trail" is_followed
echo "ok: the tip is followed"

# The frames in doubt: one key offers the worst, a click sets it and follows again.
fix() { [ "$(corrected)" -gt 0 ]; }
end=$((SECONDS + patience))
until fix; do
  [ $SECONDS -lt $end ] || die "no doubtful frame was set right"
  key shift+u
  sleep 0.5
  click 560 300
  for _ in 1 2 3 4 5 6 7 8 9 10; do fix && break; sleep 0.1; done
done
echo "ok: a doubtful frame is set right"
[ -n "${AFTERSCOPE_KEEP_PICTURE:-}" ] && sleep 3 && import -window root "$AFTERSCOPE_KEEP_PICTURE"
close_window
# Beside the case, its own settings and its own cache, the window leaves nothing anywhere (a driver and fonts keep what
# knows of no case).
check "no other file is left" "$(find "$work" -type f ! -path "$case/*" ! -path "$work/config/afterscope/*" ! -path "$work/cache/afterscope/*" \
  ! -path '*/mesa_shader_cache/*' ! -path '*/fontconfig/*' ! -name window.log -printf '%P ')" "street.avi "
exit $failures
