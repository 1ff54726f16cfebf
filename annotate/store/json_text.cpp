// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/json_text.hpp"

#include "annotate/case/text.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <unordered_set>
#include <utility>
#include <vector>

namespace afterscope {
namespace {

// Builds the value of a text in one pass, and stops at what breaks a limit.
class LimitedReader final : public nlohmann::json_sax<Json> {
 public:
  explicit LimitedReader(const JsonLimits& limits) : limits_(limits) {}
  const std::string& problem() const { return problem_; }
  Json& value() { return root_; }

  bool null() override { return Add(nullptr); }
  bool boolean(bool value) override { return Add(value); }
  bool number_integer(number_integer_t value) override { return Add(value); }
  bool number_unsigned(number_unsigned_t value) override { return Add(value); }
  bool number_float(number_float_t value, const string_t&) override { return Add(value); }
  bool string(string_t& text) override { return Text(text) && Add(std::move(text)); }
  bool binary(binary_t&) override { return Fail("binary data"); }
  bool start_object(std::size_t) override {
    names_.emplace_back();
    return Open(Json::object());
  }
  bool end_object() override {
    names_.pop_back();
    return Close();
  }
  bool start_array(std::size_t) override { return Open(Json::array()); }
  bool end_array() override { return Close(); }
  bool key(string_t& name) override {
    if (!Text(name)) return false;
    if (!names_.back().insert(name).second)
      return Fail(fmt::format("the name '{}' twice in one object", name));
    // As a vector's own: the object's would look through all its names again.
    auto& members = static_cast<Json::object_t::Container&>(open_.back()->get_ref<Json::object_t&>());
    member_ = &members.emplace_back(std::move(name), nullptr).second;
    return true;
  }
  bool parse_error(std::size_t position, const std::string&, const nlohmann::detail::exception&) override {
    return Fail(fmt::format("no JSON at byte {}", position));
  }

 private:
  bool Fail(std::string problem) {
    if (problem_.empty()) problem_ = std::move(problem);
    return false;
  }
  // Where the next value goes: the root, the end of the open array, or the member that was named last.
  Json& Next() {
    if (open_.empty()) return root_;
    return open_.back()->is_array() ? open_.back()->emplace_back() : *member_;
  }
  template <class Value>
  bool Add(Value&& value) {
    if (++values_ > limits_.values) return Fail(fmt::format("more than {} values", limits_.values));
    Next() = std::forward<Value>(value);
    return true;
  }
  bool Open(Json empty) {
    if (static_cast<int>(open_.size()) >= limits_.depth)
      return Fail(fmt::format("more than {} levels", limits_.depth));
    if (++values_ > limits_.values) return Fail(fmt::format("more than {} values", limits_.values));
    Json& next = Next();
    next = std::move(empty);
    open_.push_back(&next);  // stays where it is: what holds it gets no other value before it is closed
    return true;
  }
  bool Close() {
    open_.pop_back();
    return true;
  }
  bool Text(const std::string& text) {
    if (static_cast<std::int64_t>(text.size()) > limits_.text_bytes)
      return Fail(fmt::format("a text longer than {} bytes", limits_.text_bytes));
    return IsCleanText(text) || Fail("a text that is not clean UTF-8");
  }

  JsonLimits limits_;
  Json root_;
  std::vector<Json*> open_;
  Json* member_ = nullptr;
  std::int64_t values_ = 0;
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
    LimitedReader reader(limits);
    if (!Json::sax_parse(text, &reader)) return UnreadableBecause(what, reader.problem());
    return std::move(reader.value());
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
