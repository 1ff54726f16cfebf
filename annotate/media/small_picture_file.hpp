// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/store/file_system.hpp"
#include "metrics/base/picture.hpp"

#include <string>
#include <vector>

namespace afterscope {

// Small pictures of one recording, kept in a case's cache folder as plain samples. The file is named by the
// recording's content (TableKey), so that those of another recording are never taken for its own.

constexpr std::int64_t kMostSmallPictureBytes = 64LL << 20;  // of one recording; more are not kept or read

// Empty where there are none, or what is there makes no sense. They share one block of memory.
std::vector<Picture> LoadSmallPictures(FileSystem& files, const std::string& folder, const std::string& key,
                                       int recording_number);
void SaveSmallPictures(FileSystem& files, const std::string& folder, const std::string& key,
                       const std::vector<Picture>& pictures);

}  // namespace afterscope
