#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Making a clip beside the ffmpeg program doing the same: the same minute of the same recording cut out, scaled, a
# running time drawn over it, encoded with the same encoder and settings; in turns, the least time of each.
# Usage: clip_bench.sh BUILD_FOLDER WORK_FOLDER [SECONDS [ROUNDS]]   (60 s, 3 rounds)
set -euo pipefail
source "$(dirname "$0")/rows.sh"
[ $# -ge 2 ] || { sed -n '5p' "$0" >&2; exit 2; }
afterscope=$(realpath "$1")/app/afterscope work=$2 seconds=${3:-60} rounds=${4:-3}
mkdir -p "$work"
cd "$work"

pictures() {
  ffprobe -v error -select_streams v -count_packets -show_entries stream=nb_read_packets -of csv=p=0 "$1"
}

# A 1080p recording as recorders write it, ten seconds repeated.
if [ ! -e recording.mp4 ]; then
  quiet -f lavfi -i testsrc2=size=1920x1080:rate=25 -f lavfi -i sine=frequency=440:sample_rate=48000 -t 10 \
    -vf noise=alls=12:allf=t,format=yuv420p -c:v libx264 -preset veryfast -b:v 12M -g 50 -c:a aac piece.mp4
  quiet -stream_loop $(((seconds + 19) / 10)) -i piece.mp4 -c copy recording.mp4
  rm piece.mp4
fi
rm -rf case
"$afterscope" new case --recording recording.mp4 --set code=bench-1 --set "consent.local teaching=given" >/dev/null

# pair WHAT CLIP_OPTIONS... -- FFMPEG_OPTIONS...
pair() {
  local what=$1 ours="" theirs="" clip=()
  shift
  while [ "$1" != -- ]; do clip+=("$1"); shift; done
  shift
  for _ in $(seq "$rounds"); do
    rm -f ours.* theirs.*
    ours=$(lesser "$ours" "$(seconds_of "$afterscope" clip case --from 5 --to $((5 + seconds)) --plain --timer --fade 0 "${clip[@]}")")
    theirs=$(lesser "$theirs" "$(seconds_of ffmpeg -nostdin -y -ss 5 -t "$seconds" -i recording.mp4 "$@")")
  done
  # Repeated recordings have gaps of a part of a frame, where the two round apart.
  local more=$(($(pictures ours.*) - $(pictures theirs.*)))
  [ "${more#-}" -le 1 ] || { echo "$what: the two do not hold as many pictures" >&2; exit 1; }
  row "clip of $seconds s, $what, against ffmpeg, s" "$ours" "$theirs" 1.10
}

time_over="drawtext=text='%{pts\\:hms}':fontsize=22:fontcolor=white:box=1:boxcolor=black@0.6:x=w-tw-20:y=20"
h264=(-c:v libx264 -preset faster -crf 22 -g 50 -bf 2 -pix_fmt yuv420p)
head_row
pair "MP4, 1280x720, silent" -o ours.mp4 -- -an -vf "scale=1280:720:flags=area,$time_over" "${h264[@]}" theirs.mp4
pair "MP4, 1920x1080, with sound" --size 1920x1080 --sound original -o ours.mp4 -- \
  -vf "$time_over" "${h264[@]}" -c:a aac -b:a 128k theirs.mp4
pair "WebM, 854x480, silent" --size 854x480 -o ours.webm -- -an -vf "scale=854:480:flags=area,$time_over" \
  -c:v libvpx-vp9 -b:v 0 -crf 22 -deadline good -cpu-used 4 -row-mt 1 -g 50 -pix_fmt yuv420p theirs.webm
