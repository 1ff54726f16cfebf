#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# No verb opens a network socket, and with --window the window does not either (the local sockets of display and sound
# are not meant): strace watches the program and its helpers. Usage: no_network.sh PROGRAM [--window]
set -uo pipefail
program=$(realpath "$1")
work=$(mktemp -d)
display_pid=
trap '[ -z "$display_pid" ] || kill $display_pid 2>/dev/null; rm -rf "$work"' EXIT
cd "$work" || exit 1
export XDG_DATA_HOME=$work/data XDG_CACHE_HOME=$work/cache XDG_CONFIG_HOME=$work/config
watch() {  # COMMAND...
  strace -f -qq -e trace=socket,socketpair,connect -o "trace.$RANDOM" "$@" >/dev/null 2>err.txt || { cat err.txt; exit 1; }
}

ffmpeg -nostdin -v error -f lavfi -i testsrc=d=1:s=64x48:r=25 -c:v libx264 v.mp4
watch "$program" new c --recording v.mp4 --set code=k1 --set "consent.local teaching=given"
watch "$program" tag c --reviewer m1 --step rhexis --at 0.2 --to 0.8
watch "$program" report c -o r.pdf
watch "$program" series . --json s.json
watch "$program" clip c --from 0 --to 0.4 --size 128x96 -o k.mp4
if [ "${2:-}" = --window ]; then
  display=:$((500 + RANDOM % 400))
  Xvfb $display -screen 0 1280x720x24 -nolisten tcp -noreset >/dev/null 2>&1 &
  display_pid=$!
  export DISPLAY=$display LIBGL_ALWAYS_SOFTWARE=1
  for _ in $(seq 100); do xdpyinfo >/dev/null 2>&1 && break; sleep 0.1; done
  strace -f -qq -e trace=socket,socketpair,connect -o trace.window "$program" c >/dev/null 2>&1 &
  for _ in $(seq 600); do
    window=$(xdotool search --onlyvisible --class afterscope 2>/dev/null | head -1)
    [ -n "$window" ] && break
    sleep 0.1
  done
  [ -n "$window" ] || { echo "FAILED: no window"; exit 1; }
  sleep 3
  xdotool key --window "$window" space
  sleep 3
  pkill -TERM -P $!
  wait $! 2>/dev/null
fi
grep -q AF_UNIX trace.* || { echo "FAILED: nothing was watched"; exit 1; }  # the helper's channel at least
if grep -E 'AF_INET|AF_PACKET|AF_NETLINK' trace.*; then
  echo "FAILED: a network socket was opened"
  exit 1
fi
echo "no network socket in $(cat trace.* | wc -l) socket calls"
