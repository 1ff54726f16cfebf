#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# The program where its surroundings fail it: each time it must say so in one sentence, end with the right status
# (README.md, "Exit status") and leave what was there. As root also a full disk, and the rights of another user.
# Usage: environment_faults.sh PROGRAM [NAME...] (only the faults of those names)
set -uo pipefail
program=$(realpath "$1")
shift
work=$(mktemp -d)
failures=0
display=:$((90 + RANDOM % 400))
display_pid=
finish() {
  [ -n "$display_pid" ] && kill "$display_pid" 2>/dev/null
  mountpoint -q "$work/disk" && umount "$work/disk"
  rm -rf "$work"
}
trap finish EXIT
chmod 755 "$work"
cd "$work" || exit 1
export XDG_DATA_HOME=$work/data XDG_CACHE_HOME=$work/cache XDG_CONFIG_HOME=$work/config

fail() { echo "FAILED: $*" >&2; failures=$((failures + 1)); }
# ends WHAT STATUSES COMMAND...: one of the statuses, and one sentence on standard error where it is not 0
ends() {
  local what=$1 wanted=$2 got
  shift 2
  timeout 120 "$@" >out.txt 2>err.txt
  got=$?
  [[ " $wanted " = *" $got "* ]] || { fail "$what: status $got, wanted $wanted: $(head -c 300 err.txt)"; return; }
  if [ $got != 0 ] && { [ "$(wc -l <err.txt)" != 1 ] || ! grep -q '\.$' err.txt; }; then
    fail "$what: not one sentence: $(head -c 300 err.txt)"
    return
  fi
  echo "ok: $what ($got) $(head -c 160 err.txt)"
}
whole() { "$program" check "$1" >/dev/null 2>&1 || fail "$2: the case is not whole"; }
as_nobody=(setpriv --reuid=65534 --regid=65534 --clear-groups env HOME=/nonexistent)

make_case() {
  ffmpeg -nostdin -v error -f lavfi -i testsrc=d=4:s=160x120:r=25 -f lavfi -i sine=d=4 -c:v libx264 -g 25 v.mp4
  "$program" new c --recording v.mp4 --set code=k1 --set operator_code=o1 --set "consent.local teaching=given" >/dev/null
  "$program" tag c --reviewer m1 --step rhexis --at 0.2 --to 0.8 >/dev/null
}

full_disk() {
  [ "$(id -u)" = 0 ] || { echo "skipped: a full disk needs root"; return; }
  mkdir -p disk && mount -t tmpfs -o size=1m none disk || { echo "skipped: no disk can be mounted"; return; }
  cp -r c v.mp4 disk/
  head -c 1m /dev/zero >disk/filling 2>/dev/null
  # The journal's last block may have room for it.
  ends "full disk: an edit" "0 5" "$program" tag disk/c --moment remark --at 1 --text "$(head -c 9000 /dev/zero | tr '\0' x)"
  ends "full disk: a report" 5 "$program" report disk/c -o disk/r.pdf
  ends "full disk: a clip" 5 "$program" clip disk/c --from 0 --to 2 -o disk/clip.mp4
  ends "full disk: the index" 5 "$program" series disk --index disk/cases.sqlite
  ends "full disk: reading goes on" 0 "$program" tag disk/c --list
  [ -z "$(find disk -name '*.tmp')" ] || fail "full disk: files were left: $(find disk -name '*.tmp')"
  rm disk/filling
  ends "full disk: room again" 0 "$program" tag disk/c --step lens --at 1
  whole disk/c "full disk"
  umount disk
}

read_only() {
  [ "$(id -u)" = 0 ] || { echo "skipped: another user needs root"; return; }
  chmod -R a+rX c v.mp4 && chmod 755 c
  export XDG_DATA_HOME=/nonexistent XDG_CACHE_HOME=/nonexistent XDG_CONFIG_HOME=/nonexistent
  ends "read-only folder: an edit" 5 "${as_nobody[@]}" "$program" tag c --step lens --at 1
  ends "read-only folder: reading" 0 "${as_nobody[@]}" "$program" tag c --list
  ends "read-only folder: a report into it" 5 "${as_nobody[@]}" "$program" report c -o c/r.html
  ends "read-only folder: findings" 0 "${as_nobody[@]}" "$program" measure c --json -
  chmod 000 v.mp4
  ends "a recording without rights" 3 "${as_nobody[@]}" "$program" info v.mp4
  chmod 644 v.mp4 && chmod 000 c/journal
  ends "a journal without rights: its checkpoint is used" 0 "${as_nobody[@]}" "$program" tag c --list
  chmod -R u+rw c
  export XDG_DATA_HOME=$work/data XDG_CACHE_HOME=$work/cache XDG_CONFIG_HOME=$work/config
}

no_folders() {  # no home, no cache, no place for the index
  local bare=(env -u HOME -u XDG_DATA_HOME -u XDG_CACHE_HOME -u XDG_CONFIG_HOME)
  ends "no home: reading" 0 "${bare[@]}" "$program" tag c --list
  ends "no home: info" 0 "${bare[@]}" "$program" info v.mp4
  ends "no home: an edit" 0 "${bare[@]}" "$program" tag c --moment remark --at 1 --text x
  ends "no home: the index" 2 "${bare[@]}" "$program" series .
  ends "no home: forget" 0 "${bare[@]}" "$program" forget
  touch not_a_folder
  ends "the cache is no folder" 0 env XDG_CACHE_HOME="$work/not_a_folder" "$program" info v.mp4
  ends "the index's folder is none" 5 env XDG_DATA_HOME="$work/not_a_folder" "$program" series .
}

clock_back() {
  cp -r c back
  "$program" tag back --step lens --at 1 >/dev/null
  command -v faketime >/dev/null || { echo "skipped: faketime is not installed"; return; }
  ends "clock set back: an edit" 0 faketime '2001-01-01 00:00:00' "$program" tag back --end-step 2
  ends "clock set back: signing" 0 faketime '2001-01-01 00:00:00' "$program" tag back --reviewer m1 --sign
  ends "clock past 2038" 0 faketime '2039-06-01 00:00:00' "$program" tag back --next-version
  whole back "clock set back"
}

scarce() {
  local files memory
  for files in 5 8 12 16 24; do
    timeout 60 bash -c "ulimit -n $files; exec '$program' tag c --list" >out.txt 2>err.txt
    local got=$?
    [ $got -lt 100 ] || fail "$files open files: tag ended with $got: $(head -c 200 err.txt)"
    timeout 60 bash -c "ulimit -n $files; exec '$program' info v.mp4" >out.txt 2>err.txt
    got=$?
    [ $got -lt 100 ] || fail "$files open files: info ended with $got: $(head -c 200 err.txt)"
    echo "ok: $files open files: $got $(head -c 120 err.txt)"
  done
  for memory in 600000 900000 1400000 2000000; do  # below, GLib ends the program by itself
    for call in "tag c --list" "report c -o low.pdf" "info v.mp4" "clip c --from 0 --to 1 -o low_$memory.mp4"; do
      timeout 120 bash -c "ulimit -v $memory; exec '$program' $call" >out.txt 2>err.txt
      got=$?
      # Too little to load the libraries at all: the system's own sentence, and its status.
      if [ $got = 127 ]; then echo "ok: $memory KiB: the program does not start"; continue; fi
      [ $got -lt 100 ] && [ "$(wc -l <err.txt)" -le 1 ] || fail "$memory KiB: $call ended with $got: $(head -c 300 err.txt)"
      echo "ok: $memory KiB: $call: $got $(head -c 120 err.txt)"
    done
  done
  whole c "scarce memory and files"
  ends "a file size limit" 5 bash -c "ulimit -f 8; exec '$program' report c -o limited.pdf"
}

crash_dumps() {
  mkfifo edits
  (ulimit -c unlimited; exec "$program" tag c --edits - <edits >/dev/null 2>&1) &
  local pid=$!
  exec 9>edits
  for _ in $(seq 100); do [ "$(readlink /proc/$pid/exe)" = "$program" ] && break; sleep 0.1; done
  sleep 1
  grep -q 'Max core file size *0 *0' /proc/$pid/limits || fail "crash dumps: $(grep core /proc/$pid/limits)"
  kill -ABRT $pid
  exec 9>&-
  wait $pid 2>/dev/null
  [ -z "$(find . -name 'core*')" ] || fail "crash dumps: a core file was written"
  echo "ok: no crash dump"
}

recordings() {  # missing, of another kind, endless, contradicting themselves
  : >empty.mp4
  head -c 3000 v.mp4 >cut.mp4
  printf '#EXTM3U\n#EXTINF:1,\n/etc/passwd\n' >playlist.mp4
  printf "ffconcat version 1.0\nfile '/etc/passwd'\n" >concat.mp4
  head -c 100000 /dev/urandom >noise.mkv
  mkfifo pipe.mp4
  mkdir folder.mp4
  ln -s /dev/zero endless.mp4
  for file in empty.mp4 cut.mp4 playlist.mp4 concat.mp4 noise.mkv pipe.mp4 folder.mp4 endless.mp4 absent.mp4; do
    ends "recording $file" 3 "$program" info $file
  done
  mkdir aside && mv v.mp4 aside/ && head -c 9000 /dev/urandom >v.mp4
  ends "recording replaced: reading" 0 "$program" tag c --list
  ends "recording replaced: a clip" 3 "$program" clip c --from 0 --to 1 -o gone.mp4
  mv aside/v.mp4 v.mp4
  [ ! -e gone.mp4 ] || fail "a clip of nothing was written"
}

window_faults() {
  ends "no display" 4 env -u DISPLAY -u WAYLAND_DISPLAY "$program" c
  ends "a display that is not there" 4 env -u WAYLAND_DISPLAY DISPLAY=:9999 "$program" c
  Xvfb $display -screen 0 1280x720x24 -nolisten tcp -noreset >/dev/null 2>&1 &
  display_pid=$!
  export DISPLAY=$display LIBGL_ALWAYS_SOFTWARE=1
  for _ in $(seq 100); do xdpyinfo >/dev/null 2>&1 && break; sleep 0.1; done
  printf '<?xml version="1.0"?><!DOCTYPE fontconfig SYSTEM "fonts.dtd"><fontconfig><dir>/nonexistent</dir></fontconfig>' >no_fonts.conf
  survives "no sound device" "" env SDL_AUDIODRIVER=none_such "$program" c
  survives "no fonts" "" env FONTCONFIG_FILE="$work/no_fonts.conf" "$program" c
  survives "no home" "" env -u HOME -u XDG_DATA_HOME -u XDG_CACHE_HOME -u XDG_CONFIG_HOME "$program" c
  cp -r c away && cp v.mp4 away.mp4
  survives "the case's folder removed while open" "rm -rf away" "$program" away
  survives "the recording removed while playing" "rm away.mp4" "$program" away.mp4
  cp v.mp4 away.mp4
  survives "the recording cut short while playing" "truncate -s 2000 away.mp4" "$program" away.mp4
  cp v.mp4 away.mp4
  survives "the recording replaced while playing" "head -c 50000 /dev/urandom >away.mp4" "$program" away.mp4
  cp v.mp4 away.mp4
  survives "the decoding helper killed while playing" 'pkill -KILL -P $pid' "$program" away.mp4
  ends "no fonts: a report" 0 env FONTCONFIG_FILE="$work/no_fonts.conf" "$program" report c -o no_fonts.pdf
}
# survives WHAT FAULT COMMAND...: the window plays, the fault comes, it is still there and closes well
survives() {
  local what=$1 fault=$2 pid window=
  shift 2
  "$@" >out.txt 2>err.txt &
  pid=$!
  for _ in $(seq 300); do
    window=$(xdotool search --onlyvisible --class afterscope 2>/dev/null | head -1)
    [ -n "$window" ] && break
    kill -0 $pid 2>/dev/null || break
    sleep 0.1
  done
  [ -n "$window" ] || { fail "$what: no window: $(head -c 300 err.txt)"; return; }
  sleep 2
  xdotool key --window "$window" space
  sleep 1
  eval "$fault"
  sleep 2
  xdotool key --window "$window" space Right Left Right Home End
  sleep 2
  kill -0 $pid 2>/dev/null || { wait $pid; fail "$what: the window ended with $?: $(head -c 300 err.txt)"; return; }
  kill -TERM $pid
  wait $pid
  echo "ok: $what: $(head -c 160 err.txt)"
}

make_case || { echo "FAILED: no case could be made" >&2; exit 1; }
faults=(full_disk read_only no_folders clock_back scarce crash_dumps recordings window_faults)
[ $# = 0 ] || faults=("$@")
for fault in "${faults[@]}"; do "$fault"; done
[ $failures = 0 ] && echo "every fault was told"
exit $((failures > 0))
