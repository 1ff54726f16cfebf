#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# The program where its surroundings fail it: each time it must say so in one sentence, end with the right status
# (README.md, "Exit status") and leave what was there: every edit that was acknowledged is in the case afterwards.
# A full disk and the rights of another user need root. Ends with 1 where a fault was not told, with 2 where one could
# not be tried. Usage: environment_faults.sh PROGRAM [NAME...] (only the faults of those names)
set -uo pipefail
program=$(realpath "$1")
shift
media=$(realpath "$(dirname "$0")/../data/seeds/media")
work=$(mktemp -d)
failures=0
untried=0
edits=0
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
# told PATTERN: by what was run last, on standard error
told() { grep -qE "$1" err.txt || fail "not told: '$1', but: $(head -c 300 err.txt)"; }
untried() { echo "NOT TRIED: $*" >&2; untried=$((untried + 1)); }
listed() { env -u XDG_DATA_HOME "$program" tag "$1" --list 2>/dev/null; }
whole() { "$program" check "$1" >/dev/null 2>check.txt || fail "$2: the case is not whole: $(head -c 300 check.txt)"; }
# edit CASE: a remark that must be found from now on
edit() {
  edits=$((edits + 1))
  "$program" tag "$1" --reviewer m1 --moment remark --at 1 --text "edit $edits." >/dev/null 2>err.txt || fail "edit $edits: $(head -c 300 err.txt)"
  echo "edit $edits." >>"$1.edits"
}
# keeps CASE WHAT: the case is whole and has its step and every edit that was acknowledged
keeps() {
  local lines each
  lines=$(listed "$1")
  [[ $lines = *rhexis* ]] || fail "$2: the step is gone"
  while read -r each; do [[ $lines = *"$each"* ]] || fail "$2: gone: $each"; done <"$1.edits"
  whole "$1" "$2"
}
as_nobody=(setpriv --reuid=65534 --regid=65534 --clear-groups env HOME=/nonexistent)

make_case() {
  ffmpeg -nostdin -v error -f lavfi -i testsrc=d=4:s=160x120:r=25 -f lavfi -i sine=d=4 -c:v libx264 -g 25 v.mp4
  "$program" new c --recording v.mp4 --set code=k1 --set operator_code=o1 --set "consent.local teaching=given" >/dev/null
  "$program" tag c --reviewer m1 --step rhexis --at 0.2 --to 0.8 >/dev/null && edit c
}
copy_case() { cp -r c "$1" && cp c.edits "$1.edits"; }

full_disk() {
  [ "$(id -u)" = 0 ] || { untried "a full disk needs root"; return; }
  mkdir -p disk && mount -t tmpfs -o size=1m none disk || { untried "no disk can be mounted"; return; }
  copy_case disk/c && cp v.mp4 disk/
  edit disk/c
  head -c 1m /dev/zero >disk/filling 2>/dev/null
  # The journal's last block may have room for it.
  ends "full disk: an edit" "0 5" "$program" tag disk/c --moment remark --at 1 --text "last, $(head -c 9000 /dev/zero | tr '\0' x)"
  if [ -s err.txt ]; then told "Can't write .*: No space left on device"; else echo "last, " >>disk/c.edits; fi
  ends "full disk: a report" 5 "$program" report disk/c -o disk/r.pdf
  told "Can't write 'disk/r.pdf': No space left on device"
  ends "full disk: a clip" 5 "$program" clip disk/c --from 0 --to 2 -o disk/clip.mp4
  told "Can't write 'disk/clip.mp4': No space left on device"
  ends "full disk: the index" 5 "$program" series disk --index disk/cases.sqlite
  told "full"
  ends "full disk: reading goes on" 0 "$program" tag disk/c --list
  [ -z "$(find disk -name '*.tmp')" ] || fail "full disk: files were left: $(find disk -name '*.tmp')"
  rm disk/filling
  ends "full disk: room again" 0 "$program" tag disk/c --step lens --at 1
  listed disk/c | grep -q lens || fail "full disk: the edit after it is not there"
  keeps disk/c "full disk"
  umount disk
}

read_only() {  # by another user's rights, or, not as root, by one's own
  local other=()
  if [ "$(id -u)" = 0 ]; then other=("${as_nobody[@]}"); fi
  chmod -R a+rX,a-w c && chmod a+r v.mp4
  export XDG_DATA_HOME=/nonexistent XDG_CACHE_HOME=/nonexistent XDG_CONFIG_HOME=/nonexistent
  ends "read-only folder: an edit" 5 "${other[@]}" "$program" tag c --step lens --at 1
  told "Can't change 'c'"
  ends "read-only folder: reading" 0 "${other[@]}" "$program" tag c --list
  told "'c' can be read but not changed"
  ends "read-only folder: a report into it" 5 "${other[@]}" "$program" report c -o c/r.html
  told "Can't create 'c/r.html'"
  ends "read-only folder: findings" 0 "${other[@]}" "$program" measure c --json -
  chmod 000 v.mp4
  ends "a recording without rights" 3 "${other[@]}" "$program" info v.mp4
  told "'v.mp4' can't be opened: Permission denied"
  chmod 644 v.mp4 && chmod 000 c/journal
  ends "a journal without rights: its checkpoint is used" 0 "${other[@]}" "$program" tag c --list
  told "Can't read 'c/journal': Permission denied"
  grep -q rhexis out.txt || fail "a journal without rights: the step is not listed"
  chmod -R u+rwX c
  export XDG_DATA_HOME=$work/data XDG_CACHE_HOME=$work/cache XDG_CONFIG_HOME=$work/config
  ! listed c | grep -q lens || fail "read-only folder: an edit that was refused is there"
  keeps c "read-only folder"
}

no_folders() {  # no home, no cache, no place for the index
  local bare=(env -u HOME -u XDG_DATA_HOME -u XDG_CACHE_HOME -u XDG_CONFIG_HOME)
  ends "no home: reading" 0 "${bare[@]}" "$program" tag c --list
  ends "no home: info" 0 "${bare[@]}" "$program" info v.mp4
  ends "no home: an edit" 0 "${bare[@]}" "$program" tag c --reviewer m1 --moment remark --at 1 --text "made without a home"
  echo "made without a home" >>c.edits
  ends "no home: the index" 2 "${bare[@]}" "$program" series .
  told "no home folder for the index"
  ends "no home: forget" 0 "${bare[@]}" "$program" forget
  touch not_a_folder
  ends "the cache is no folder" 0 env XDG_CACHE_HOME="$work/not_a_folder" "$program" info v.mp4
  ends "the index's folder is none" 5 env XDG_DATA_HOME="$work/not_a_folder" "$program" series .
  told "Can't make the folder '.*not_a_folder'"
  keeps c "no folders"
}

clock_back() {
  command -v faketime >/dev/null || { untried "faketime is not installed"; return; }
  copy_case back
  "$program" tag back --step lens --at 1 >/dev/null
  ends "clock set back: an edit" 0 faketime '2001-01-01 00:00:00' "$program" tag back --end-step 2
  ends "clock set back: signing" 0 faketime '2001-01-01 00:00:00' "$program" tag back --reviewer m1 --sign
  ends "clock past 2038" 0 faketime '2039-06-01 00:00:00' "$program" tag back --next-version
  listed back | grep -q lens || fail "clock set back: the edit before it is gone"
  keeps back "clock set back"
}

# limited WHAT "ulimit ..." WORDS: it does its work or says in one sentence why not
limited() {
  timeout 120 bash -c "$2; exec '$program' $3" >out.txt 2>err.txt
  local got=$? lines
  lines=$(wc -l <err.txt)
  # Too little to load the libraries at all: the system's own sentence, and its status.
  if [ $got = 127 ] && grep -q "shared librar\|shared object" err.txt; then echo "ok: $1: the program does not start"; return 127; fi
  if [ $got = 0 ]; then
    [ -s out.txt ] || [[ $3 != *--list && $3 != info* ]] || fail "$1: $3: nothing was done"
  elif [[ " 3 4 5 " != *" $got "* ]] || [ "$lines" != 1 ] || ! grep -q '\.$' err.txt; then
    fail "$1: $3 ended with $got: $(head -c 300 err.txt)"
  fi
  echo "ok: $1: $3: $got $(head -c 120 err.txt)"
  return $got
}
# limited_edit WHAT "ulimit ...": acknowledged and there, or refused and not there
limited_edit() {
  edits=$((edits + 1))
  if limited "$1" "$2" "tag c --reviewer m1 --moment remark --at 1 --text 'edit $edits.'"; then
    echo "edit $edits." >>c.edits
  elif listed c | grep -q "edit $edits\."; then
    fail "$1: an edit that was refused is there"
  fi
  keeps c "$1"
}
scarce() {
  local files memory call
  for files in 5 8 12 16 24; do
    for call in "tag c --list" "info v.mp4"; do limited "$files open files" "ulimit -n $files" "$call"; done
    limited_edit "$files open files" "ulimit -n $files"
  done
  for memory in 600000 900000 1400000 2000000; do  # below, GLib ends the program by itself
    for call in "tag c --list" "report c -o low.pdf" "info v.mp4" "clip c --from 0 --to 1 -o low_$memory.mp4"; do
      limited "$memory KiB" "ulimit -v $memory" "$call"
    done
    limited_edit "$memory KiB" "ulimit -v $memory"
  done
  # The limit is that of shared memory too, so that the report first says that it has no pictures.
  timeout 120 bash -c "ulimit -f 8; exec '$program' report c -o limited.pdf" >out.txt 2>err.txt
  local got=$?
  [ $got = 5 ] || fail "a file size limit: status $got, wanted 5: $(head -c 300 err.txt)"
  told "^Can't write 'limited.pdf': File too large\.$"
  [ ! -e limited.pdf ] || fail "a file size limit: a part of the report was left"
  keeps c "scarce memory and files"
}

crash_dumps() {
  mkfifo edits
  (ulimit -c unlimited; exec "$program" tag c --edits - <edits >/dev/null 2>&1) &
  local pid=$! got
  exec 9>edits
  for _ in $(seq 300); do grep -q 'Max core file size *0 *0' /proc/$pid/limits && break; sleep 0.1; done
  grep -q 'Max core file size *0 *0' /proc/$pid/limits || fail "crash dumps: $(grep core /proc/$pid/limits)"
  kill -ABRT $pid
  wait $pid 2>/dev/null
  got=$?
  exec 9>&-
  [ $got = 134 ] || fail "crash dumps: the program ended with $got, not by the signal"
  [ -z "$(find . -name 'core*')" ] || fail "crash dumps: a core file was written"
  keeps c "crash dumps"
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
    told "$file' can't be opened"
  done
  # 20 GB by its size, and whole by its own table; tables that contradict each other: read as far as they can be.
  cp v.mp4 sparse.mp4 && truncate -s 20G sparse.mp4
  for file in sparse.mp4 "$media/contradicting.mp4"; do
    ends "recording $(basename "$file")" 0 "$program" info "$file"
    ends "its last frame" 0 "$program" frame "$file" --index 2 -o last.png
    rm -f last.png
  done
  mkdir aside && mv v.mp4 aside/ && head -c 9000 /dev/urandom >v.mp4
  ends "recording replaced: reading" 0 "$program" tag c --list
  ends "recording replaced: a clip" 3 "$program" clip c --from 0 --to 1 -o gone.mp4
  told "'v.mp4' is not the recording that this case was made with"
  edit c
  mv aside/v.mp4 v.mp4
  [ ! -e gone.mp4 ] || fail "a clip of nothing was written"
  keeps c "recording replaced"
}

window_faults() {
  ends "no display" 4 env -u DISPLAY -u WAYLAND_DISPLAY "$program" c
  ends "a display that is not there" 4 env -u WAYLAND_DISPLAY DISPLAY=:9999 "$program" c
  Xvfb $display -screen 0 1280x720x24 -nolisten tcp -noreset >/dev/null 2>&1 &
  display_pid=$!
  export DISPLAY=$display LIBGL_ALWAYS_SOFTWARE=1 SDL_AUDIODRIVER=dummy
  for _ in $(seq 100); do xdpyinfo >/dev/null 2>&1 && break; sleep 0.1; done
  printf '<?xml version="1.0"?><!DOCTYPE fontconfig SYSTEM "fonts.dtd"><fontconfig><dir>/nonexistent</dir></fontconfig>' >no_fonts.conf
  survives "no sound device" "" c kept env SDL_AUDIODRIVER=none_such "$program" c
  survives "no fonts" "" c kept env FONTCONFIG_FILE="$work/no_fonts.conf" "$program" c
  survives "no home" "" c kept env -u HOME -u XDG_DATA_HOME -u XDG_CACHE_HOME -u XDG_CONFIG_HOME "$program" c
  copy_case gone
  survives "the case's folder removed while open" "mv gone there && cp -r there kept_gone && rm -rf there" gone refused "$program" gone
  rm -rf gone && mv kept_gone gone
  keeps gone "the case's folder removed while open"
  local fault
  ffmpeg -v error -f lavfi -i testsrc2=d=8:s=320x240:r=25 -c:v libx264 -g 25 other.mp4
  for fault in "rm away.mp4" "cp other.mp4 away.new && mv away.new away.mp4" "truncate -s 2000 away.mp4" "head -c 50000 /dev/urandom >away.mp4" 'pkill -KILL -P $pid'; do
    rm -rf away.mp4 "away case" "away case.edits" && cp v.mp4 away.mp4 && : >"away case.edits"
    survives "while playing: $fault" "$fault" "away case" kept "$program" away.mp4
  done
  ends "no fonts: a report" 0 env FONTCONFIG_FILE="$work/no_fonts.conf" "$program" report c -o no_fonts.pdf
  keeps c "faults of the window"
}
# there CASE STEP: in a case that is open elsewhere
there() { listed "$1" | grep -q "$2"; }
within() {  # SECONDS COMMAND...
  local end=$((SECONDS + $1))
  shift
  until "$@"; do [ $SECONDS -lt $end ] || return 1; sleep 0.2; done
}
open_window() { window=$(xdotool search --all --onlyvisible --pid $pid --class afterscope 2>/dev/null | head -1); [ -n "$window" ] || ! kill -0 $pid 2>/dev/null; }
# survives WHAT FAULT CASE kept|refused COMMAND...: an edit, the window plays, the fault comes; the window is still there,
# what it is asked then is in the case too (refused: that is told in it, and found nowhere), and it closes well
survives() {
  local what=$1 fault=$2 case=$3 after=$4 pid got window=
  shift 4
  "$@" >out.txt 2>err.txt &
  pid=$!
  within 60 open_window
  [ -n "$window" ] || { fail "$what: no window: $(head -c 300 err.txt)"; return; }
  xdotool windowmove "$window" 0 0 windowsize "$window" 1280 720 windowfocus "$window"
  asked "$case" s side_port || fail "$what: the edit before it was not made"
  xdotool key --window "$window" space
  sleep 1
  eval "$fault"
  sleep 2
  xdotool key --window "$window" space Right Left Right Home End
  sleep 2
  kill -0 $pid 2>/dev/null || { wait $pid; fail "$what: the window ended with $?: $(head -c 300 err.txt)"; return; }
  if [ "$after" = kept ]; then
    asked "$case" n nucleus_division || fail "$what: an edit after it was not made"
    there "$case" side_port || fail "$what: the edit before it is gone"
  else
    within 90 refused || fail "$what: nothing is told of an edit that can't be kept"
  fi
  kill -TERM $pid
  wait $pid
  got=$?
  [ $got = 0 ] || { fail "$what: the window ended with $got: $(head -c 300 err.txt)"; return; }
  [ "$after" != kept ] || [[ $case = away* ]] || keeps "$case" "$what"
  echo "ok: $what: $(head -c 160 err.txt)"
}
# asked CASE KEY STEP: a key whose second press does nothing more at the same frame
asked() {
  local end=$((SECONDS + 120))
  until there "$1" "$3"; do
    [ $SECONDS -lt $end ] || return 1
    xdotool windowfocus "$window" key --window "$window" "$2"
    within 2 there "$1" "$3"
  done
}
# refused: what is asked is told to be, again each time: why at first, later that nothing can be written any more
refused() {
  xdotool windowfocus "$window" key --window "$window" n
  sleep 1
  says "keep what is written\|after an earlier failure"
}
# says WORDS: in the strip at the window's foot
says() {
  import -window root now.png
  convert now.png -crop 1280x40+0+690 +repage -resize 300% -colorspace gray -negate read.png
  tesseract read.png - --psm 11 2>/dev/null | tr '\n' ' ' | grep -qi "$1"
}

make_case || { echo "FAILED: no case could be made" >&2; exit 1; }
faults=(full_disk read_only no_folders clock_back scarce crash_dumps recordings window_faults)
[ $# = 0 ] || faults=("$@")
for fault in "${faults[@]}"; do "$fault"; done
[ $failures = 0 ] || exit 1
[ $untried = 0 ] || { echo "$untried faults could not be tried" >&2; exit 2; }
echo "every fault was told"
