#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Access to recordings beside the ffmpeg and ffprobe programs, each pair in the same minute, as one table.
# Usage: media_bench.sh BUILD_FOLDER WORK_FOLDER [--quick] [--minutes N] [--hours N] [--gigabytes N] [--rounds N]
#   --minutes    of the 1080p recording that is decoded from start to end (20)
#   --hours      of the recording whose packets are listed (2)
#   --gigabytes  of the recordings whose first picture is waited for; removed afterwards (12)
#   --rounds     how often a pair is timed; the least time of each counts (2)
#   --quick      --minutes 1 --hours 0.2 --gigabytes 1 --rounds 1
# The recordings are one short clip each, encoded once and repeated without encoding. They stay in WORK_FOLDER
# for the next time, but for the largest.
set -euo pipefail
source "$(dirname "$0")/rows.sh"
minutes=20 hours=2 gigabytes=12 rounds=2
[ $# -ge 2 ] || { sed -n '4,5p' "$0" >&2; exit 2; }
build=$(realpath "$1") work=$2
shift 2
while [ $# -gt 0 ]; do
  case $1 in
    --quick) minutes=1 hours=0.2 gigabytes=1 rounds=1 ;;
    --minutes | --hours | --gigabytes | --rounds) declare "${1#--}=$2"; shift ;;
    *) echo "media_bench.sh: unknown option '$1'" >&2; exit 2 ;;
  esac
  shift
done
ninja -C "$build" media_bench >/dev/null
bench=$build/tests/media_bench
mkdir -p "$work"
cd "$work"
trap 'rm -f big.* made.*' EXIT

# make NAME FFMPEG_ARGUMENT...: once; never left half made
make() {
  local name=$1
  shift
  [ -e "$name" ] && return
  quiet "$@" "made.$name"
  mv "made.$name" "$name"
}
# repeats SECONDS CLIP_SECONDS: for -stream_loop
repeats() { awk -v all="$1" -v one="$2" 'BEGIN { n = int(all / one + 0.5); print (n < 1 ? 1 : n) - 1 }'; }
# pair WHAT LIMIT BENCH_WORD FILE COMMAND...: ours and the command in turns, the least of each
pair() {
  local what=$1 limit=$2 word=$3 file=$4 ours= against= i
  shift 4
  for ((i = 0; i < rounds; ++i)); do
    against=$(lesser "$against" "$(seconds_of "$@")")
    ours=$(lesser "$ours" "$(value "$word" "$("$bench" "$word" "$file")")")
  done
  row "$what" "$ours" "$against" "$limit"
}
# first NAME FFMPEG_ARGUMENT...: the first picture of a large file that no memory holds
first() {
  local name=$1 out
  shift
  quiet "$@" "big.$name"
  dd of="big.$name" oflag=nocache conv=notrunc,fdatasync count=0 status=none
  out=$("$bench" first "big.$name")
  row "first picture, $(du -h "big.$name" | cut -f1) $name, s" "$(value first "$out")" "" 1.0
  row "  then one in the middle of the $name, s" "$(value middle "$out")" "" ""
  rm "big.$name"
}

x264=(-c:v libx264 -preset superfast -g 240 -keyint_min 240 -sc_threshold 0 -bf 2 -pix_fmt yuv420p)
source=testsrc2=size=1920x1080:rate=30
# A microscope's recorder writes some 14 Mbit a second; a key frame every 8 seconds
make clip.mp4 -f lavfi -i $source:duration=24 -vf noise=alls=10:allf=t+u "${x264[@]}" -b:v 14M -maxrate 16M -bufsize 20M
make light.mp4 -f lavfi -i $source:duration=16 "${x264[@]}" -b:v 2M
make "minutes$minutes.mp4" -stream_loop "$(repeats "$((minutes * 60))" 24)" -i clip.mp4 -c copy
long_seconds=$(awk -v h="$hours" 'BEGIN { print h * 3600 }')
make "hours$hours.mp4" -stream_loop "$(repeats "$long_seconds" 16)" -i light.mp4 -c copy
minutes_file=minutes$minutes.mp4 hours_file=hours$hours.mp4

head_row
pair "decode $minutes min, against ffmpeg -f null, s" 1.10 sweep "$minutes_file" \
  ffmpeg -nostdin -v error -i "$minutes_file" -f null -
pair "packets of $hours h, against ffprobe -show_packets, s" 1.0 packets "$hours_file" \
  ffprobe -v error -select_streams v:0 -show_packets "$hours_file"

out=$("$bench" jumps "$minutes_file" 30)
row "30 random jumps, against the bare library, s" "$(value jumps "$out")" "$(value bare_jumps "$out")" 1.15
row "  median jump, against the bare library, s" "$(value jump_median "$out")" "$(value bare_jump_median "$out")" ""
out=$("$bench" back "$minutes_file" 10)
row "step back by one, median, s" "$(value back_median "$out")" "" 0.020
row "  95 of 100 within, s" "$(value back_95 "$out")" "" ""
out=$("$bench" keys "$minutes_file" 300)
row "small pictures' key frames of $minutes min, s" "$(value keys "$out")" "" ""
row "  how many" "$(value key_pictures "$out")" "" ""
out=$("$bench" play "$minutes_file" 30)
row "half a minute played: pictures not there in time" "$(value play_late "$out")" "" ""
row "  of" "$(value play_frames "$out")" "" ""
above=$(value play_above_budget_mib "$out")
row "  memory above the cache's budget, MiB" "$above" "" 250
row "  the same, against the most that ffmpeg takes, MiB" "$above" "$(most_mib ffmpeg -nostdin -v error -t 30 -i "$minutes_file" -f null -)" ""

bytes_loop=$(repeats "$(awk -v g="$gigabytes" -v b="$(stat -c %s clip.mp4)" 'BEGIN { print g * 1e9 / b }')" 1)
first "mp4" -stream_loop "$bytes_loop" -i clip.mp4 -c copy
first "front.mp4" -stream_loop "$bytes_loop" -i clip.mp4 -c copy -movflags +faststart
first "mkv" -stream_loop "$bytes_loop" -i clip.mp4 -c copy
