#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# No verb opens a network socket, and with --window the window does not either (the local sockets of display and sound
# are not meant), but to a PostgreSQL that the user named, and to nothing else then: strace watches the program and its
# helpers. Usage: no_network.sh PROGRAM [--window] (with it also verify, which takes minutes)
set -uo pipefail
program=$(realpath "$1")
assets=$(cd "$(dirname "$0")/../../assets" && pwd)
work=$(mktemp -d)
display_pid=
database=
trap '[ -z "$display_pid" ] || kill $display_pid 2>/dev/null; [ -z "$database" ] || as_postgres "$database/pg_ctl" -D "$work/db/data" -m immediate stop >/dev/null; rm -rf "$work"' EXIT
as_postgres() { if [ "$(id -u)" = 0 ]; then setpriv --reuid=postgres --regid=postgres --clear-groups "$@"; else "$@"; fi; }
cd "$work" || exit 1
export XDG_DATA_HOME=$work/data XDG_CACHE_HOME=$work/cache XDG_CONFIG_HOME=$work/config
calls=socket,socketpair,connect,sendto,sendmsg,bind
# watch WORDS...: of the program, to its end and with success; traced into a file that bears the verb's name
watch() {
  number=$((${number:-0} + 1))
  strace -f --seccomp-bpf -qq -e trace=$calls -o "trace.$1.$number" "$program" "$@" >out.txt 2>err.txt
  local status=$?
  # verify says 1 where a measured value lies outside its limits, as one of twenty may
  [ $status = 0 ] || { [ "$1" = verify ] && [ $status = 1 ]; } || { echo "FAILED: $*: $status: $(head -c 500 err.txt)"; exit 1; }
}

# The program's assets with one short case in the demo.
mkdir -p assets/demo
for each in "$assets"/*; do [ "$(basename "$each")" = demo ] || ln -s "$each" assets/; done
perl -MJSON::PP -0777 -ne '$s = decode_json($_); $one = $s->{cases}[0]; $one->{seconds} = 40; $s->{tables}{count} = 1;
  $one->{picture} = {width => 96, height => 72, limbus_px => 52}; $one->{recording}{rate} = [5, 1]; $s->{cases} = [$one];
  print encode_json($s)' "$assets/demo/series.json" >assets/demo/series.json

ffmpeg -nostdin -v error -f lavfi -i testsrc=d=1:s=64x48:r=25 -c:v libx264 v.mp4
printf 'step,start,end\nrhexis,0,20\n' >steps.csv
printf 'case,day1_pressure_mmhg\nk1,15\n' >outcomes.csv
AFTERSCOPE_ASSETS=$PWD/assets watch demo d
watch intake . --json
watch info v.mp4
watch frame v.mp4 --index 3 -o f.png
watch new c --recording v.mp4 --set code=k1 --set operator_code=o1 --set date=2026-03-02 --set "consent.local teaching=given" --set consent.review=given
watch tag c --reviewer m1 --step rhexis --at 0.2 --to 0.8
watch tag c --reviewer m1 --mark limbus --at 0.4 --points 20,10 40,24 20,38 5,24 30,12
watch import imported --steps steps.csv --rate 25
watch follow d/cases/T07-012
watch measure c --json -
watch report c -o r.pdf
watch report c -o r.html
watch agree d/tables/T07-001 --json -
watch series . --json s.json --report s.pdf
watch outcomes . --table outcomes.csv
watch due . --all
watch find . --step rhexis
watch clip c --from 0 --to 0.4 --size 128x96 -o k.mp4
watch check c
watch check --sharing k.mp4
watch tag c --reviewer m1 --sign
watch pack c -o packed
watch score c --sheet whole_operation --reviewer m2 --item gentle=2
[ "${2:-}" != --window ] || watch verify --count 1 # minutes
watch forget --case imported
watch forget --yes
for verb in $("$program" --help | sed -n '/^Subcommands:/,$s/^  \([a-z]\+\) .*/\1/p'); do
  [ "$verb" != verify ] || [ "${2:-}" = --window ] || continue
  ls trace."$verb".* >/dev/null 2>&1 || { echo "FAILED: the verb '$verb' was not watched"; exit 1; }
done
if [ "${2:-}" = --window ]; then
  display=:$((500 + RANDOM % 400))
  Xvfb $display -screen 0 1280x720x24 -nolisten tcp -noreset >/dev/null 2>&1 &
  display_pid=$!
  export DISPLAY=$display LIBGL_ALWAYS_SOFTWARE=1
  for _ in $(seq 100); do xdpyinfo >/dev/null 2>&1 && break; sleep 0.1; done
  strace -f --seccomp-bpf -qq -e trace=$calls -o trace.window "$program" c >/dev/null 2>&1 &
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
verbs=$(ls trace.* | cut -d. -f2 | sort -u | wc -l)
grep -q AF_UNIX trace.* || { echo "FAILED: nothing was watched"; exit 1; }  # the helper's channel at least
if grep -E 'AF_INET|AF_PACKET|AF_NETLINK' trace.*; then
  echo "FAILED: a network socket was opened"
  exit 1
fi
echo "no network socket in $(cat trace.* | wc -l) socket calls of $verbs verbs"

# PostgreSQL, named: connections to its port and to nothing else; of the others only the kernel is asked for its addresses.
programs=$(ls -d /usr/lib/postgresql/*/bin 2>/dev/null | sort -V | tail -1)
port=$((20000 + RANDOM % 10000))
wanted=0
if [ -n "$programs" ]; then
  mkdir db && chmod 755 "$work" && { [ "$(id -u)" != 0 ] || chown postgres db; }
  (cd db && as_postgres "$programs/initdb" -D data -U tester -A trust -E UTF8 --locale=C.UTF-8 --no-sync >../initdb.log &&
    as_postgres "$programs/pg_ctl" -D data -w -t 60 -l log -o "-c listen_addresses=127.0.0.1 -p $port -c fsync=off -k $work/db" start >/dev/null) ||
    { echo "FAILED: PostgreSQL did not start: $(tail -3 initdb.log db/log 2>/dev/null)"; exit 1; }
  database=$programs
else
  wanted=3  # nobody listens there: what is tried shows all the same
fi
strace -f --seccomp-bpf -qq -e trace=$calls -o named.trace "$program" series c --index "postgresql://tester@127.0.0.1:$port/postgres" >out.txt 2>err.txt
status=$?
[ $status = $wanted ] || { echo "FAILED: an index in PostgreSQL ended with $status: $(head -c 500 err.txt)"; exit 1; }
grep -qE "connect\(.*sin_port=htons\($port\), sin_addr=inet_addr\(\"127.0.0.1\"\)" named.trace || { echo "FAILED: PostgreSQL was not tried"; exit 1; }
if grep -E '(connect|sendto|sendmsg|bind)\(.*(AF_INET|AF_PACKET)' named.trace | grep -vE "sin_port=htons\($port\), sin_addr=inet_addr\(\"127.0.0.1\"\)"; then
  echo "FAILED: more than the PostgreSQL that was named was spoken to"
  exit 1
fi
echo "with PostgreSQL named, connections to its port alone: $(grep -cE "sin_port=htons\($port\)" named.trace)"
