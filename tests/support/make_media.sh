#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Makes small recordings, each with a trait that makes reaching frames hard, with the ffmpeg program.
# Usage: make_media.sh FOLDER      (quick the second time; several may run at once)
set -euo pipefail
mkdir -p "$1"
cd "$1"
exec 9>lock
flock 9
version=7
[ "$(cat made 2>/dev/null)" = "$version" ] && exit 0
rm -rf files damaged parts
mkdir files damaged parts

# source SIZE SECONDS RATE: moving pictures in which every frame differs
source_of() { echo "testsrc2=size=$1:rate=$3:duration=$2"; }
quiet() { ffmpeg -nostdin -v error -y "$@"; }
# make NAME OUTPUT_OPTION...: from 96 frames at 160x120 and 24 a second
make() {
  local name=$1
  shift
  quiet -f lavfi -i "$(source_of 160x120 4 24)" "$@" "files/$name"
}
x264=(-c:v libx264 -preset ultrafast -pix_fmt yuv420p -threads 1)
x265=(-c:v libx265 -preset ultrafast)
bframes=(-bf 3 -x264-params "b-adapt=0:scenecut=0:keyint=24")

# reordered frames, open groups, long groups, refresh without key frames
make bframes.mp4 "${x264[@]}" "${bframes[@]}"
make bframes.mkv "${x264[@]}" "${bframes[@]}"
make bframes.ts "${x264[@]}" "${bframes[@]}"
make open_gop.mp4 "${x264[@]}" -bf 3 -x264-params "open-gop=1:b-adapt=0:scenecut=0:keyint=16:ref=4"
make open_gop.ts "${x264[@]}" -bf 3 -x264-params "open-gop=1:b-adapt=0:scenecut=0:keyint=16:ref=4"
make open_gop_hevc.mkv "${x265[@]}" -pix_fmt yuv420p -x265-params "open-gop=1:keyint=16:bframes=3:log-level=error"
make long_gop.mp4 "${x264[@]}" -bf 2 -g 250
make intra_refresh.mkv "${x264[@]}" -x264-params "intra-refresh=1:keyint=24:ref=1"
make intra_refresh.ts "${x264[@]}" -x264-params "intra-refresh=1:keyint=24:ref=1"
# variable rate
make vfr.mp4 -vf "select='not(eq(mod(n,7),3))*not(between(n,40,52))'" -vsync vfr "${x264[@]}" "${bframes[@]}"
make vfr.mkv -vf "select='not(eq(mod(n,5),2))'" -vsync vfr "${x264[@]}" "${bframes[@]}"
# interlaced
make interlaced_mpeg2.ts -c:v mpeg2video -flags +ildct+ilme -top 1 -bf 2 -g 12
make interlaced_mpeg2.mpg -c:v mpeg2video -flags +ildct+ilme -top 1 -bf 2 -g 12 -f vob
make interlaced_h264.mts "${x264[@]}" -flags +ildct+ilme -x264-params "tff=1:keyint=24:bframes=2" -f mpegts
make closed_gop_mpeg2.mpg -c:v mpeg2video -bf 2 -g 12 -flags +cgop -sc_threshold 1000000000 -f vob
# edit lists, odd starts
quiet -ss 0.7 -i files/bframes.mp4 -c copy files/edit_list.mp4
quiet -i files/bframes.mp4 -c copy -output_ts_offset 5 files/starts_late.mp4
quiet -i files/bframes.mkv -c copy -output_ts_offset 7 files/starts_late.mkv
quiet -i files/bframes.mp4 -c copy -output_ts_offset -1.5 -avoid_negative_ts disabled files/starts_negative.mkv
quiet -i files/bframes.mp4 -c copy -movflags negative_cts_offsets files/negative_offsets.mp4
quiet -i files/bframes.mp4 -c copy -movflags frag_keyframe+empty_moov files/fragmented.mp4
# timestamp jumps: forwards, backwards
quiet -i files/bframes.ts -c copy -output_ts_offset 30 parts/later.ts
cat files/bframes.ts parts/later.ts >files/jumps_forward.ts
cat parts/later.ts files/bframes.ts >files/jumps_back.ts
# no timestamps in the container
make bare.h264 "${x264[@]}" "${bframes[@]}"
make bare.hevc "${x265[@]}" -pix_fmt yuv420p -x265-params "keyint=24:log-level=error"
make bare.m2v -c:v mpeg2video -bf 2 -g 12
make bframes_mpeg4.avi -c:v mpeg4 -bf 2 -g 24
make bframes_h264.avi "${x264[@]}" "${bframes[@]}"
# rotation, odd size, aspect, size change
quiet -i files/bframes.mp4 -c copy -metadata:s:v:0 rotate=90 files/rotated.mp4
quiet -f lavfi -i "$(source_of 161x121 3 24)" -c:v ffv1 -pix_fmt yuv420p files/odd_size.mkv
quiet -f lavfi -i "$(source_of 177x99 3 24)" -c:v mjpeg files/odd_size_mjpeg.avi
make wide_pixels.mpg -vf setsar=64/45 -c:v mpeg2video -g 12 -f vob
quiet -f lavfi -i "$(source_of 192x144 3 24)" "${x264[@]}" -output_ts_offset 10 parts/larger.ts
cat files/bframes.ts parts/larger.ts >files/changes_size.ts
# 10 bit and uncommon formats
make ten_bit_hevc.mp4 "${x265[@]}" -pix_fmt yuv420p10le -x265-params "keyint=24:log-level=error"
make ten_bit_422_h264.mkv -c:v libx264 -preset ultrafast -pix_fmt yuv422p10le -g 24 -bf 2
make prores.mov -c:v prores_ks -profile:v 1 -pix_fmt yuv422p10le
make twelve_bit.mkv -c:v ffv1 -pix_fmt yuv420p12le
make rgb.mov -c:v qtrle -pix_fmt rgb24
make rgb_ten_bit.mkv -c:v ffv1 -pix_fmt gbrp10le
make gray.avi -c:v mjpeg -pix_fmt gray
make gray_ten_bit.mkv -c:v ffv1 -pix_fmt gray10le
make yuv444.mp4 -c:v libx264 -preset ultrafast -pix_fmt yuv444p -g 24
make nv12.avi -c:v rawvideo -pix_fmt nv12
quiet -f lavfi -i "$(source_of 720x480 1 30000/1001)" -c:v dvvideo -pix_fmt yuv411p files/ntsc.dv
quiet -f lavfi -i "$(source_of 720x576 1 25)" -c:v dvvideo -pix_fmt yuv420p files/pal_dv.avi
# further kinds
make every_frame_key.avi -c:v mjpeg
make vp8.webm -c:v libvpx -deadline realtime -cpu-used 8 -g 24 -auto-alt-ref 1 -lag-in-frames 10
make vp9.webm -c:v libvpx-vp9 -deadline realtime -cpu-used 8 -g 24 -auto-alt-ref 1 -lag-in-frames 10
make av1.mp4 -c:v libaom-av1 -cpu-used 8 -usage realtime -g 24
make mpeg1.mpg -c:v mpeg1video -bf 2 -g 12 -f mpeg
make windows.wmv -c:v wmv2 -g 24
make flash.flv -c:v flv1 -g 24
quiet -f lavfi -i "$(source_of 160x120 3 24)" -f lavfi -i "sine=frequency=440:sample_rate=44100:duration=3.5" \
  "${x264[@]}" "${bframes[@]}" -c:a aac files/with_sound.mp4
quiet -f lavfi -i "$(source_of 160x120 3 24)" -f lavfi -i "sine=frequency=440:sample_rate=48000:duration=3" \
  -c:v mpeg2video -g 12 -bf 2 -c:a mp2 files/with_sound.ts

# damage: cut in the middle, bytes overwritten, bytes zeroed
quiet -f lavfi -i "$(source_of 160x120 10 24)" "${x264[@]}" "${bframes[@]}" parts/long.mkv
quiet -i parts/long.mkv -c copy -movflags +faststart parts/long.mp4
quiet -i parts/long.mkv -c copy parts/long.ts
quiet -f lavfi -i "$(source_of 160x120 10 24)" -c:v mjpeg parts/long.avi
# cut PART: its first half; overwrite PART BYTE_AT NAME: 64 bytes; zero PART BYTE_AT NAME: 4096 bytes
cut() { head -c $(($(stat -c %s "parts/$1") / 2)) "parts/$1" >"damaged/cut_$1"; }
overwrite() {
  cp "parts/$1" "damaged/$3"
  head -c 64 /dev/zero | tr '\\0' '\\252' | dd of="damaged/$3" bs=1 seek="$2" conv=notrunc status=none
}
zero() {
  cp "parts/$1" "damaged/$3"
  dd if=/dev/zero of="damaged/$3" bs=1 count=4096 seek="$2" conv=notrunc status=none
}
for part in long.mp4 long.mkv long.ts long.avi; do cut $part; done
middle=$(($(stat -c %s parts/long.mp4) / 2))
overwrite long.mp4 $middle overwritten.mp4
overwrite long.mkv $middle overwritten.mkv
overwrite long.ts $middle overwritten.ts
zero long.mp4 $middle zeroed.mp4
zero long.ts $middle zeroed.ts

echo "$version" >made
