// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstdint>

namespace afterscope {

// What a recording may ask of this machine; beyond them it is refused or its helper process ended.
struct MediaLimits {
  std::int64_t most_pixels = 8192LL * 8192;  // of one picture
  std::int64_t most_frame_bytes = 256LL << 20;
  // A packet is one picture as it lies in the file. The largest that is written, 8K in the least compressed
  // kinds, takes some 40 MB; each decoding thread holds one, so that sixteen of these fit into the helper's
  // memory twice.
  std::int64_t most_packet_bytes = 64LL << 20;
  int most_streams = 64;
  std::int64_t probe_bytes = 20LL << 20;
  double probe_seconds = 10;  // of the recording, analysed at opening
  double open_seconds = 10;   // wall clock
  double seek_seconds = 5;    // wall clock, one jump inside the demuxer
  double call_seconds = 60;   // wall clock, one picture; a stuck helper is ended and started again
  std::int64_t helper_memory_bytes = 3LL << 30;
  std::int64_t helper_cpu_seconds = 12LL * 3600;  // processor time of one helper
  int decode_threads = 0;                         // 0: as many as there are processors
};

}  // namespace afterscope
