// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/edit.hpp"
#include "annotate/case/review.hpp"

#include <cstdint>
#include <set>
#include <string>

namespace afterscope {

// The ids of items that are or were in use, so that a fresh one never means something else in the history.
class UsedIds {
 public:
  void Note(const EditGroup& group);
  void Note(const Review& review);
  // A letter and the lowest number that was not used yet; used from now on.
  std::string Fresh(char letter);

 private:
  std::set<std::string> used_;
  std::int64_t counts_[32] = {};
};

}  // namespace afterscope
