// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/helper/sound_tracks.hpp"

namespace afterscope {
namespace {

bool IsSound(const AVStream& stream) { return stream.codecpar->codec_type == AVMEDIA_TYPE_AUDIO; }

bool CanBeDecoded(const AVCodecParameters& sound) {
  constexpr int kSlowest = 1000;
  constexpr int kFastest = 768000;
  constexpr int kMostChannels = 64;
  return sound.sample_rate >= kSlowest && sound.sample_rate <= kFastest && sound.ch_layout.nb_channels >= 1 &&
         sound.ch_layout.nb_channels <= kMostChannels && avcodec_find_decoder(sound.codec_id) != nullptr;
}

}  // namespace

std::vector<int> SoundTracks(const AVFormatContext& format) {
  std::vector<int> tracks;
  for (unsigned i = 0; i < format.nb_streams; ++i)
    if (IsSound(*format.streams[i]) && CanBeDecoded(*format.streams[i]->codecpar))
      tracks.push_back(static_cast<int>(i));
  return tracks;
}

bool HasSoundStream(const AVFormatContext& format) {
  for (unsigned i = 0; i < format.nb_streams; ++i)
    if (IsSound(*format.streams[i])) return true;
  return false;
}

}  // namespace afterscope
