// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/exchange/byte_reader.hpp"
#include "annotate/exchange/carried_data.hpp"

#include <string>

namespace afterscope {

// One reader a kind of file (carried_data.hpp). Each adds what it finds and is false for a file that is cut
// off or contradicts itself.
bool SeeBoxes(ByteReader& file, CarriedData& data, std::int64_t most_media);
bool SeeMatroska(ByteReader& file, CarriedData& data);
bool SeePng(ByteReader& file, CarriedData& data);
bool SeeJpeg(ByteReader& file, CarriedData& data);
bool SeePdf(ByteReader& file, CarriedData& data);

// At most 200 bytes, what can't be printed as spaces.
std::string Shortened(const std::string& text);

}  // namespace afterscope
