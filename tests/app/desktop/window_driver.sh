# SPDX-License-Identifier: Apache-2.0
# Sourced by the scripts that drive the real window under Xvfb with real key and mouse events, and read the
# result back with the commands. They wait for conditions, never for a time: they may run on a slow, busy machine.
# Before: program=..., recording=... (one that nobody here made, Debian's opencv-doc).
set -u
recording=/usr/share/doc/opencv-doc/examples/data/vtest.avi
patience=${AFTERSCOPE_PATIENCE:-90}  # seconds, for any one condition
work=$(mktemp -d)
failures=0
pressed=0  # keys and clicks so far; a typed letter is a key
display_pid= window_pid= window= case=

finish() {
  [ -n "$window_pid" ] && kill "$window_pid" 2>/dev/null
  [ -n "$display_pid" ] && kill "$display_pid" 2>/dev/null
  wait 2>/dev/null
  rm -rf "$work"
}
trap finish EXIT
alive() {  # has not ended, also where nobody has asked yet how
  [ -n "$window_pid" ] && kill -0 "$window_pid" 2>/dev/null && ! grep -q '^State:.*Z' "/proc/$window_pid/status" 2>/dev/null
}
# No window manager gives a window the focus, which it needs to follow the pointer, or back what took it away.
keep_focus() {
  [ -z "$window" ] || [ "$(xdotool getwindowfocus 2>/dev/null)" = "$window" ] || xdotool windowfocus "$window" 2>/dev/null
}
die() {
  echo "FAILED: $*" >&2
  echo "the window: '$window' of process '$window_pid'$(alive || echo ', which has ended'); visible:" \
    "$(xdotool search --onlyvisible --class afterscope 2>/dev/null | tr '\n' ' '); focus: '$(xdotool getwindowfocus 2>/dev/null)'" >&2
  cat "$work/window.log" >&2
  [ -n "$case" ] && "$program" tag "$case" --list >&2
  [ -n "${AFTERSCOPE_KEEP_PICTURE:-}" ] && import -window root "$AFTERSCOPE_KEEP_PICTURE" 2>/dev/null
  exit 1
}
check() {  # WHAT GOT WANTED
  if [ "$2" = "$3" ]; then echo "ok: $1"; else echo "FAILED: $1: got '$2', wanted '$3'" >&2; failures=$((failures + 1)); fi
}
check_that() {  # WHAT COMMAND...
  local what=$1
  shift
  if "$@" >/dev/null 2>&1; then echo "ok: $what"; else echo "FAILED: $what" >&2; failures=$((failures + 1)); fi
}
wait_until() {  # WHAT COMMAND...
  local what=$1 end=$((SECONDS + patience))
  shift
  until "$@" >/dev/null 2>&1; do
    [ $SECONDS -lt $end ] || die "$what did not come within $patience s"
    alive || die "the window ended while waiting for: $what"
    keep_focus
    sleep 0.1
  done
}

listed() { "$program" tag "$case" --list 2>/dev/null; }  # says on standard error that it reads only
count() { listed | grep -cP "$1"; }                       # lines that match
there_are() { [ "$(count "$2")" = "$1" ]; }               # NUMBER PATTERN
points_of() { listed | sed -nE "s/^[a-z0-9]+\t$1\t.*\t([0-9]+) points?.*/\1/p" | tail -1; }
has_points() { [ "$(points_of "$1")" = "$2" ]; }
pace=0  # seconds between what is pressed; forms want a little, since what one field says may fill others
key() { local k; for k in "$@"; do xdotool key --window "$window" "$k"; sleep "$pace"; done; pressed=$((pressed + $#)); }
write() { xdotool type --window "$window" --delay 30 "$1"; sleep "$pace"; pressed=$((pressed + ${#1})); }
click() { xdotool mousemove "$1" "$2" click 1; pressed=$((pressed + 1)); }
hold() { xdotool keydown --window "$window" "$2"; sleep "$1"; xdotool keyup --window "$window" "$2"; pressed=$((pressed + 1)); }  # SECONDS KEY
drag() {  # X Y TO_X TO_Y: the left button goes down, is moved and let go; slowly enough to be seen on the way
  local i
  xdotool mousemove "$1" "$2" sleep 0.2 mousedown 1 sleep 0.1
  for i in 1 2 3 4; do xdotool mousemove $(($1 + ($3 - $1) * i / 4)) $(($2 + ($4 - $2) * i / 4)) sleep 0.1; done
  xdotool mouseup 1
  pressed=$((pressed + 1))
}
drag_until() {  # WHAT X Y TO_X TO_Y COMMAND...: drags again where nothing came of it for 10 s: a window under load may lose a press
  local what=$1 from_x=$2 from_y=$3 to_x=$4 to_y=$5 end=$((SECONDS + patience)) again
  shift 5
  until "$@" >/dev/null 2>&1; do
    [ $SECONDS -lt $end ] || die "$what did not come within $patience s"
    alive || die "the window ended while waiting for: $what"
    keep_focus
    drag "$from_x" "$from_y" "$to_x" "$to_y"
    again=$((SECONDS + 10))
    until "$@" >/dev/null 2>&1 || [ $SECONDS -ge $again ]; do sleep 0.1; done
  done
}
times() { local n=$1; shift; for _ in $(seq "$n"); do key "$@"; done; }
press_until() {  # WHAT KEY COMMAND...: presses a key (whose second press does nothing more) until it has worked
  local what=$1 press=$2 end=$((SECONDS + patience))
  shift 2
  until "$@" >/dev/null 2>&1; do
    [ $SECONDS -lt $end ] || die "$what did not come within $patience s"
    alive || die "the window ended while waiting for: $what"
    keep_focus
    key "$press"
    for _ in 1 2 3 4 5 6 7 8 9 10; do "$@" >/dev/null 2>&1 && return; sleep 0.1; done
  done
}
click_point() {  # X Y KIND COUNT: clicks until the outline has so many points (a click on a point adds none)
  local end=$((SECONDS + patience))
  until has_points "$3" "$4"; do
    [ $SECONDS -lt $end ] || die "point $4 of the $3 did not come"
    keep_focus
    click "$1" "$2"
    for _ in 1 2 3 4 5 6 7 8 9 10; do has_points "$3" "$4" && return; sleep 0.1; done
  done
}
circle() {  # KIND X Y RADIUS COUNT: so many points on a circle round a place of the window
  local i x y
  for i in $(seq 0 $(($5 - 1))); do
    x=$(awk -v i="$i" -v n="$5" -v c="$2" -v r="$4" 'BEGIN {printf "%d", c + r * cos(i * 2 * 3.14159265 / n) + 0.5}')
    y=$(awk -v i="$i" -v n="$5" -v c="$3" -v r="$4" 'BEGIN {printf "%d", c + r * sin(i * 2 * 3.14159265 / n) + 0.5}')
    click_point "$x" "$y" "$1" $((i + 1))
  done
}
colour_at() { import -silent -window "$window" -crop "1x1+$1+$2" -depth 8 txt:- 2>/dev/null | grep -oE '#[0-9A-F]{6}' | head -1; }
shows() { [ "$(colour_at "$1" "$2")" = "$3" ]; }  # X Y COLOUR

# A display of its own; the window on the paths, in that size.
# A server that was told a number may still fail to serve it, when others start at the same time. It does not begin
# anew when its last client goes: whoever comes meanwhile would find no display.
start_display() {  # SIZE
  rm -f "$work/display"
  mkfifo "$work/display"
  Xvfb -displayfd 3 -screen 0 "$1x24" -nolisten tcp -noreset 3>"$work/display" 2>/dev/null &
  display_pid=$!
  number=
  read -r -t 20 number <>"$work/display"
  [ -n "$number" ] && DISPLAY=:$number timeout 20 xdotool getdisplaygeometry >/dev/null 2>&1 && kill -0 "$display_pid" 2>/dev/null
}
open_display() {  # SIZE
  local attempt
  for attempt in 1 2 3 4 5; do
    start_display "$1" && break
    kill "$display_pid" 2>/dev/null
    [ "$attempt" -lt 5 ] || { echo "FAILED: no display came up" >&2; exit 1; }
  done
  export DISPLAY=:$number XDG_CONFIG_HOME=$work/config XDG_CACHE_HOME=$work/cache HOME=$work LC_ALL=C.UTF-8 SDL_AUDIODRIVER=dummy
}
open_window() {  # SIZE PATH...
  local size=$1
  shift
  "$program" "$@" >"$work/window.log" 2>&1 &
  window_pid=$! window=
  # Of this process: the window of one that has just ended may still be there for a moment.
  wait_until "the window" sh -c "xdotool search --all --onlyvisible --pid $window_pid --class afterscope | grep -q ."
  window=$(xdotool search --all --onlyvisible --pid "$window_pid" --class afterscope | head -1)
  check "a window that starts fits on a screen of $size" \
    "$(xdotool getwindowgeometry --shell "$window" | awk -F= -v size="$size" '$1 == "WIDTH" {w = $2} $1 == "HEIGHT" {h = $2} END {split(size, most, "x"); print (w > 0 && w <= most[1] && h <= most[2])}')" 1
  xdotool windowmove "$window" 0 0 windowsize "$window" "${size%x*}" "${size#*x}" windowfocus "$window"
  wait_until "its size" sh -c "xdotool getwindowgeometry $window | grep -q $size"
  wait_until "its focus" sh -c "[ \"\$(xdotool getwindowfocus)\" = $window ]"
}
# As a window manager asks a window whose button for it was pressed: xdotool of Debian 12 can't.
ask_to_close() {
  python3 - "$window" <<'ASK'
import ctypes, sys
x = ctypes.CDLL("libX11.so.6")
x.XOpenDisplay.restype = ctypes.c_void_p
x.XInternAtom.restype = ctypes.c_ulong
x.XInternAtom.argtypes = [ctypes.c_void_p, ctypes.c_char_p, ctypes.c_int]
x.XSendEvent.argtypes = [ctypes.c_void_p, ctypes.c_ulong, ctypes.c_int, ctypes.c_long, ctypes.c_void_p]
x.XCloseDisplay.argtypes = [ctypes.c_void_p]
class Message(ctypes.Structure):  # XClientMessageEvent
    _fields_ = [("type", ctypes.c_int), ("serial", ctypes.c_ulong), ("send_event", ctypes.c_int), ("display", ctypes.c_void_p),
                ("window", ctypes.c_ulong), ("message_type", ctypes.c_ulong), ("format", ctypes.c_int),
                ("data", ctypes.c_long * 5), ("rest", ctypes.c_long * 24)]  # an XEvent is 24 longs
display = x.XOpenDisplay(None)
atom = lambda name: x.XInternAtom(display, name, 0)
window = int(sys.argv[1])
message = Message(type=33, window=window, message_type=atom(b"WM_PROTOCOLS"), format=32)
message.data[0] = atom(b"WM_DELETE_WINDOW")
x.XSendEvent(display, window, 0, 0, ctypes.byref(message))
x.XCloseDisplay(display)  # which sends it
ASK
}
# As a user closes it: the window is asked, and ends by itself.
close_window() {
  xdotool windowquit "$window" 2>/dev/null || kill "$window_pid"
  wait "$window_pid" 2>/dev/null
  window_pid=
}
