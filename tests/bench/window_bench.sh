#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Scrubbing, stepping back and memory of the whole window, off-screen, with 1080p30 of a key frame every 8 seconds.
# Usage: window_bench.sh BUILD_FOLDER WORK_FOLDER [MINUTES_OF_RECORDING [PLACES [MINUTES_OF_MEMORY]]]
set -euo pipefail
minutes=${3:-20} places=${4:-30} memory=${5:-15}
ninja -C "$1" window_bench >/dev/null
bench=$(realpath "$1")/tests/window_bench
mkdir -p "$2"
cd "$2"
# make NAME SECONDS_OF_CLIP SECONDS FFMPEG_ARGUMENT...: one clip, repeated without encoding
make() {
  local name=$1 clip=$2 seconds=$3
  shift 3
  [ -e "$name" ] && return
  ffmpeg -nostdin -v error -y -f lavfi -i "testsrc2=size=1920x1080:rate=30:duration=$clip" "$@" -c:v libx264 \
    -preset superfast -g 240 -keyint_min 240 -sc_threshold 0 -bf 2 -pix_fmt yuv420p "clip.$name"
  ffmpeg -nostdin -v error -y -stream_loop "$((seconds / clip - 1))" -i "clip.$name" -c copy "made.$name"
  mv "made.$name" "$name"
}
make "scrub$minutes.mp4" 24 "$((minutes * 60))" -vf noise=alls=10:allf=t+u -b:v 14M -maxrate 16M -bufsize 20M
"$bench" scrub "scrub$minutes.mp4" "$places"
"$bench" back "scrub$minutes.mp4" "$(((places + 2) / 3))"
[ "$memory" = 0 ] && exit
make "hours2.mp4" 16 7200 -b:v 2M
"$bench" memory hours2.mp4 "$memory"
