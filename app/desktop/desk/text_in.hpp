// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <nlohmann/json.hpp>

#include <string>

namespace afterscope {

// A member of an object that is a text; empty where there is none, or it is something else.
inline std::string TextIn(const nlohmann::json& object, const char* member) {
  const auto found = object.find(member);
  return found != object.end() && found->is_string() ? found->get<std::string>() : std::string();
}

}  // namespace afterscope
