#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Access to recordings beside the ffmpeg and ffprobe programs, each pair in the same minute.
# Usage: media_bench.sh BUILD_FOLDER WORK_FOLDER      (needs some 3 GB there; recordings are kept for the next time)
set -euo pipefail
ninja -C "$1" media_bench >/dev/null
bench=$(realpath "$1")/tests/media_bench
mkdir -p "$2"
cd "$2"

quiet() { ffmpeg -nostdin -v error -y "$@"; }
# timed WHAT COMMAND...: wall time and processor time, children included
timed() { local what=$1; shift; local TIMEFORMAT="$what: %R s, processor %U + %S s"; time "$@"; }

[ -e clip.mp4 ] || quiet -f lavfi -i testsrc2=size=1920x1080:rate=30:duration=40 -vf noise=alls=10:allf=t+u \
  -c:v libx264 -preset superfast -b:v 14M -maxrate 16M -bufsize 20M -g 250 -bf 2 -pix_fmt yuv420p clip.mp4
[ -e light.mp4 ] || quiet -f lavfi -i testsrc2=size=1920x1080:rate=30:duration=20 \
  -c:v libx264 -preset ultrafast -b:v 2M -g 250 -bf 2 -pix_fmt yuv420p light.mp4
[ -e minutes20.mp4 ] || quiet -stream_loop 29 -i clip.mp4 -c copy minutes20.mp4
[ -e hours2.mp4 ] || quiet -stream_loop 359 -i light.mp4 -c copy hours2.mp4

timed "ffmpeg, 20 minutes" ffmpeg -nostdin -v error -i minutes20.mp4 -f null -
timed "Sweep, 20 minutes" "$bench" sweep minutes20.mp4
timed "ffprobe -show_packets, 2 hours" ffprobe -v error -select_streams v:0 -show_packets hours2.mp4 >/dev/null
"$bench" table hours2.mp4
"$bench" first hours2.mp4
"$bench" play clip.mp4
"$bench" jumps clip.mp4
