// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/json_text.hpp"

#include "annotate/case/text.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <unordered_set>
#include <vector>

namespace afterscope {
namespace {

// Looks at a text without keeping it, so that nothing large is built from what breaks a limit.
class LimitsWatch final : public nlohmann::json_sax<Json> {
 public:
  explicit LimitsWatch(const JsonLimits& limits) : limits_(limits) {}
  const std::string& problem() const { return problem_; }

  bool null() override { return Count(); }
  bool boolean(bool) override { return Count(); }
  bool number_integer(number_integer_t) override { return Count(); }
  bool number_unsigned(number_unsigned_t) override { return Count(); }
  bool number_float(number_float_t, const string_t&) override { return Count(); }
  bool string(string_t& text) override { return Count() && Text(text); }
  bool binary(binary_t&) override { return Fail("binary data"); }
  bool start_object(std::size_t) override {
    names_.emplace_back();
    return Count() && Deeper();
  }
  bool end_object() override {
    names_.pop_back();
    --depth_;
    return true;
  }
  bool start_array(std::size_t) override { return Count() && Deeper(); }
  bool end_array() override {
    --depth_;
    return true;
  }
  bool key(string_t& name) override {
    if (!Text(name)) return false;
    return names_.back().insert(name).second || Fail(fmt::format("the name '{}' twice in one object", name));
  }
  bool parse_error(std::size_t position, const std::string&, const nlohmann::detail::exception&) override {
    return Fail(fmt::format("no JSON at byte {}", position));
  }

 private:
  bool Fail(std::string problem) {
    if (problem_.empty()) problem_ = std::move(problem);
    return false;
  }
  bool Count() {
    return ++values_ <= limits_.values || Fail(fmt::format("more than {} values", limits_.values));
  }
  bool Deeper() {
    return ++depth_ <= limits_.depth || Fail(fmt::format("more than {} levels", limits_.depth));
  }
  bool Text(const std::string& text) {
    if (static_cast<std::int64_t>(text.size()) > limits_.text_bytes)
      return Fail(fmt::format("a text longer than {} bytes", limits_.text_bytes));
    return IsCleanText(text) || Fail("a text that is not clean UTF-8");
  }

  JsonLimits limits_;
  std::int64_t values_ = 0;
  int depth_ = 0;
  std::vector<std::unordered_set<std::string>> names_;
  std::string problem_;
};

constexpr int kReadableLevels = 2;

void AppendReadable(const Json& json, int level, std::string& text) {
  if (!json.is_structured() || json.empty() || level >= kReadableLevels) {
    text += CompactText(json);
    return;
  }
  const std::string indent(static_cast<std::size_t>(level + 1) * 2, ' ');
  text += json.is_object() ? "{" : "[";
  bool first = true;
  for (const auto& item : json.items()) {
    text += first ? "\n" : ",\n";
    first = false;
    text += indent;
    if (json.is_object()) text += CompactText(Json(item.key())) + ": ";
    AppendReadable(item.value(), level + 1, text);
  }
  text += '\n';
  text.append(indent, 2);
  text += json.is_object() ? '}' : ']';
}

}  // namespace

Error UnreadableBecause(const std::string& what, const std::string& problem) {
  return {ErrorCode::kUnreadable, fmt::format("Can't read {}: it has {}.", what, problem)};
}

Result<Json> ParseJson(std::string_view text, const std::string& what, const JsonLimits& limits) {
  if (static_cast<std::int64_t>(text.size()) > limits.bytes)
    return UnreadableBecause(what, fmt::format("more than {} bytes", limits.bytes));
  if (text.starts_with("\xEF\xBB\xBF")) return UnreadableBecause(what, "a byte order mark");
  try {
    LimitsWatch watch(limits);
    if (!Json::sax_parse(text, &watch)) return UnreadableBecause(what, watch.problem());
    return Json::parse(text);
  } catch (const nlohmann::json::exception& problem) {
    return UnreadableBecause(what, problem.what());
  }
}

std::string CompactText(const Json& json) {
  try {
    return json.dump();
  } catch (const nlohmann::json::exception&) {
    // Only malformed UTF-8 gets here; edits refuse it, so it can only come from a file name.
    return json.dump(-1, ' ', false, Json::error_handler_t::replace);
  }
}

std::string ReadableText(const Json& json) {
  std::string text;
  AppendReadable(json, 0, text);
  return text + "\n";
}

}  // namespace afterscope
