// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "annotate/media/frame_table.hpp"
#include "annotate/media/helper_messages.hpp"
#include "annotate/media/timestamp_repair.hpp"

namespace afterscope {

// What has to be said about a decoded recording: damage with the last good frame before it, an end that comes before
// the declared one, gaps, timestamps that were made up or moved. Each a sentence.
std::vector<std::string> TableCautions(const OpenedFile& file, const std::vector<PacketRecord>& packets,
                                       const std::vector<FrameEntry>& frames, const TimestampRepair& repair,
                                       std::int64_t read_errors);

}  // namespace afterscope
