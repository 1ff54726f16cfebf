// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/store/json_text.hpp"
#include "metrics/base/result.hpp"

#include <nlohmann/json.hpp>

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace afterscope {

// The text of case.json or review.json around a state.
struct Checkpoint {
  std::string format;   // "afterscope case", "afterscope review"
  std::string version;  // "MAJOR.MINOR"
  std::int64_t last_entry = 0;
  std::string last_digest;
};

inline constexpr int kFormatMajor = 1;
inline constexpr std::string_view kFormatVersion = "1.2";

// The MAJOR of "MAJOR.MINOR", 0 if the text is none.
int MajorOf(std::string_view version);

// `state` with the members of the checkpoint before it, those of `old` that are in neither (unknown ones,
// from a newer version) where they were, and its digest as last member.
std::string CheckpointText(const Checkpoint& checkpoint, const Json& state, const Json& old);

// NOLINTNEXTLINE(bugprone-exception-escape): moving JSON throws nothing
struct CheckpointContent {
  Checkpoint checkpoint;
  Json json;           // all members
  bool whole = false;  // the digest fits
};

// Whether the names in the object that is member `name` are the user's own: what is missing there was
// removed, it is not unknown.
bool HasFreeNames(const std::string& name);

// kUnreadable where the text is no JSON object in our form; a digest that does not fit is not an error.
Result<CheckpointContent> CheckpointFrom(const std::string& text, const std::string& what);

}  // namespace afterscope
