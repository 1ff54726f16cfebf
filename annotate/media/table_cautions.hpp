// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/media/frame_table.hpp"
#include "annotate/media/helper_messages.hpp"

#include <cstdint>
#include <string>
#include <vector>

namespace afterscope {

// What was noticed while all frames were decoded, in numbers.
struct TableFacts {
  std::int64_t missing = 0;       // frames without a timestamp
  std::int64_t jumps_back = 0;    // of timestamps
  std::int64_t out_of_order = 0;  // timestamps not after the one before
  std::int64_t read_errors = 0;   // what the container could not deliver
  std::int64_t undecoded = 0;     // packets to be shown without a frame
  std::int64_t too_large = 0;     // packets beyond MediaLimits::most_packet_bytes, passed over
};

// What has to be said about a decoded recording: damage with the last good frame before it, an end that comes
// before the declared one, gaps, timestamps that were made up or moved. Each a sentence.
std::vector<std::string> TableCautions(const OpenedFile& file, const std::vector<FrameEntry>& frames,
                                       const TableFacts& facts);

}  // namespace afterscope
