// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/result.hpp"

#include <nlohmann/json_fwd.hpp>

#include <cstdint>
#include <string>
#include <string_view>

namespace afterscope {

using Json = nlohmann::ordered_json;  // members keep their order, so that files read well

struct JsonLimits {
  std::int64_t bytes = 64LL << 20;
  int depth = 64;
  std::int64_t values = 1'000'000;
  std::int64_t text_bytes = 65536;
};

// Strict JSON (RFC 8259) within limits. Refuses also a name twice in one object, numbers beyond a double,
// malformed UTF-8, a byte order mark. `what` is named in the sentence of a refusal: "case.json", "line 12 of
// the journal".
Result<Json> ParseJson(std::string_view text, const std::string& what, const JsonLimits& limits = {});

// The sentence of a refusal: "Can't read case.json: it has no code." for "no code".
Error UnreadableBecause(const std::string& what, const std::string& problem);

// On one line, numbers as the shortest text that gives the same double, whatever the locale.
std::string CompactText(const Json& json);
// The outer levels on lines of their own, each item of an inner array on one line.
std::string ReadableText(const Json& json);

}  // namespace afterscope
