// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/step_list.hpp"

#include <algorithm>

namespace afterscope {

const StepKind* StepList::Find(const std::string& key) const {
  const auto found =
      std::find_if(steps.begin(), steps.end(), [&](const StepKind& s) { return s.key == key; });
  return found == steps.end() ? nullptr : &*found;
}

std::string StepList::NameOf(const std::string& key) const {
  const StepKind* step = Find(key);
  return step ? step->name : key;
}

}  // namespace afterscope
