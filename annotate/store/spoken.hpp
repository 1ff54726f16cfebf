// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/review.hpp"
#include "annotate/store/file_system.hpp"
#include "metrics/base/result.hpp"

#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// A remark's own sound: a file of the review, named by the moment's fields (FORMAT.md).
struct SpokenFile {
  std::string name;    // in reviews/ID/spoken
  std::string sha256;  // of the whole file
  double seconds = 0;  // how long it is
};

// Of a moment that was spoken and still has its sound; empty for all others, and where it was scrubbed.
std::optional<SpokenFile> SpokenOf(const Moment& moment);
// "spoken, 4 s" for a moment that has its sound and no text; else its text.
std::string ShownText(const Moment& moment);
// A field of a moment that only says where its sound is.
bool IsSpokenField(const std::string& name);
void SetSpoken(Moment& moment, const SpokenFile& file);

// A name that no file has yet; it says nothing about the case.
std::string NewSpokenName();
std::string SpokenFolder(const std::string& case_folder, const ReviewId& review);

// Copies the sounds that a review names to another review of the case; one that can't be read is passed over,
// and told by a check.
Status CopySpoken(const std::string& case_folder, const Review& from, const ReviewId& to, FileSystem& files);

// What is wrong with the spoken remarks of a review, one sentence each: a file that is missing or not as it
// was written.
std::vector<std::string> CheckSpoken(const std::string& case_folder, const Review& review, FileSystem& files);

// Removes the sounds of a review that none of its journals names (any more).
Status RemoveUnnamedSpoken(const std::string& case_folder, const ReviewId& review, FileSystem& files);

}  // namespace afterscope
