#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Clips as a browser plays them: MP4 and WebM with sound, captions and chapters are made, read by ffprobe without a
# warning, and played from start to end in headless Chromium. Says so and ends well where Chromium is not installed.
# Usage: play_in_browser.sh BUILD_FOLDER
set -euo pipefail
afterscope=$(realpath "$1")/app/afterscope
browser=$(command -v chromium || command -v chromium-browser || true)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cd "$work"

ffmpeg -nostdin -v error -f lavfi -i testsrc2=size=640x360:rate=25 -f lavfi -i sine=frequency=440:sample_rate=48000 \
  -t 6 -c:v libx264 -pix_fmt yuv420p -c:a aac recording.mp4
ffmpeg -nostdin -v error -f lavfi -i sine=frequency=880:sample_rate=48000 -t 1.5 -c:a pcm_s16le voice.wav
"$afterscope" new case --recording recording.mp4 --set code=k-1 --set "consent.local teaching=given" >/dev/null
"$afterscope" clip case --add-take voice.wav --from 0:02 --words "Raise the flap." >/dev/null
for ending in mp4 webm; do
  "$afterscope" clip case --from 0:01 --to 0:05 --title "Rhexis" --sound original --voice --size 320x180 \
    -o "clip_$ending.$ending" >/dev/null 2>&1
  # ffprobe has no decoder for the text track in which MP4 keeps chapters and says so.
  said=$(ffprobe -v warning -show_chapters -show_streams "clip_$ending.$ending" 2>&1 >/dev/null |
    grep -v '^Unsupported codec with id 98314 ' || true)
  [ -z "$said" ] || { echo "ffprobe on clip.$ending: $said"; exit 1; }
  said=$(ffmpeg -nostdin -v warning -i "clip_$ending.$ending" -f null - 2>&1)
  [ -z "$said" ] || { echo "ffmpeg on clip.$ending: $said"; exit 1; }
done
[ -n "$browser" ] || { echo "skipped: Chromium is not installed; ffprobe and ffmpeg read both clips"; exit 0; }

# A title of three seconds and four of the recording.
cat > page.html <<'PAGE'
<!doctype html><body><script>
const say = words => console.log("CLIP " + words);
function play(name) {
  return new Promise(done => {
    const video = document.createElement("video");
    let jumps = 0, last = 0, loud = false;
    video.muted = true;
    video.src = name;
    const track = document.createElement("track");
    track.src = name.replace(/\.[^.]+$/, ".vtt");
    video.appendChild(track);
    video.ontimeupdate = () => { if (video.currentTime < last) ++jumps; last = video.currentTime; };
    video.onerror = () => { say(name + " failed: " + video.error.message); done(); };
    video.onended = () => {
      const q = video.getVideoPlaybackQuality();
      say(name + " ended at " + video.currentTime.toFixed(2) + " of " + video.duration.toFixed(2) + ", " +
          video.videoWidth + "x" + video.videoHeight + ", backwards " + jumps + ", damaged " + q.corruptedVideoFrames);
      done();
    };
    document.body.appendChild(video);
    video.play().catch(error => { say(name + " failed: " + error.message); done(); });
  });
}
play("clip_mp4.mp4").then(() => play("clip_webm.webm")).then(() => say("over"));
</script></body>
PAGE
"$browser" --headless=new --no-sandbox --disable-gpu --autoplay-policy=no-user-gesture-required \
  --allow-file-access-from-files --user-data-dir="$work/profile" --enable-logging=stderr --v=0 \
  "file://$work/page.html" >browser.log 2>&1 &
pid=$!
for _ in $(seq 120); do
  grep -q "CLIP over" browser.log && break
  kill -0 $pid 2>/dev/null || break
  sleep 0.5
done
kill $pid 2>/dev/null || true
wait $pid 2>/dev/null || true
grep -o 'CLIP [^"]*' browser.log || true
for name in clip_mp4.mp4 clip_webm.webm; do
  grep -qE "CLIP $name ended at (6\.9|7\.0)[0-9]* of (6\.9|7\.0)[0-9]*, 320x180, backwards 0, damaged 0" browser.log ||
    { echo "$name did not play from start to end in Chromium"; exit 1; }
done
echo "both clips play from start to end in Chromium"
