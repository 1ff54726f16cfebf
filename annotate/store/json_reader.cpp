// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/json_reader.hpp"

#include <fmt/format.h>

#include <limits>
#include <utility>

namespace afterscope {
namespace {

// An integer that fits; numbers with a fraction or beyond 64 bits are none.
std::optional<std::int64_t> IntegerFrom(const Json& json) {
  if (json.is_number_unsigned()) {
    const auto value = json.get<std::uint64_t>();
    if (value > static_cast<std::uint64_t>(std::numeric_limits<std::int64_t>::max())) return std::nullopt;
    return static_cast<std::int64_t>(value);
  }
  if (json.is_number_integer()) return json.get<std::int64_t>();
  return std::nullopt;
}

std::optional<FrameRef> FrameFrom(const Json& json) {
  if (!json.is_object() || !json.contains("recording") || !json.contains("ticks")) return std::nullopt;
  const auto recording = IntegerFrom(json["recording"]);
  const auto ticks = IntegerFrom(json["ticks"]);
  if (!recording || !ticks || !std::in_range<int>(*recording) || !IsSaneTime(Pts{*ticks}))
    return std::nullopt;
  return FrameRef{static_cast<int>(*recording), Pts{*ticks}};
}

}  // namespace

JsonReader::JsonReader(const Json& json, std::string what, std::string& problem)
    : json_(json), what_(std::move(what)), problem_(problem) {
  if (!json.is_object() && problem_.empty()) problem_ = fmt::format("{} that is not an object", what_);
}

const Json* JsonReader::Member(const char* name) const {
  if (!json_.is_object()) return nullptr;
  const auto found = json_.find(name);
  return found == json_.end() || found->is_null() ? nullptr : &*found;
}

void JsonReader::Fail(const char* name, const char* problem) {
  if (problem_.empty()) problem_ = fmt::format("{} in '{}' of {}", problem, name, what_);
}

void JsonReader::Read(const char* name, std::string& value) {
  const Json* member = Member(name);
  if (!member) return;
  if (!member->is_string()) return Fail(name, "something other than a text");
  value = member->get<std::string>();
}

void JsonReader::Read(const char* name, bool& value) {
  const Json* member = Member(name);
  if (!member) return;
  if (!member->is_boolean()) return Fail(name, "something other than true or false");
  value = member->get<bool>();
}

void JsonReader::Read(const char* name, std::int64_t& value) {
  const Json* member = Member(name);
  if (!member) return;
  const auto number = IntegerFrom(*member);
  if (!number) return Fail(name, "something other than an integer");
  value = *number;
}

void JsonReader::Read(const char* name, int& value) {
  std::int64_t wide = value;
  Read(name, wide);
  if (!std::in_range<int>(wide)) return Fail(name, "a number out of range");
  value = static_cast<int>(wide);
}

void JsonReader::Read(const char* name, double& value) {
  const Json* member = Member(name);
  if (!member) return;
  if (!member->is_number()) return Fail(name, "something other than a number");
  value = member->get<double>();
}

void JsonReader::Read(const char* name, std::optional<double>& value) {
  if (!Member(name)) return;
  double number = 0;
  Read(name, number);
  value = number;
}

void JsonReader::Read(const char* name, Pts& value) {
  Read(name, value.ticks);
  if (!IsSaneTime(value)) Fail(name, "a number out of range");
}

void JsonReader::Read(const char* name, Rational& value) {
  const Json* member = Member(name);
  if (!member) return;
  if (!member->is_array() || member->size() != 2) return Fail(name, "something other than two numbers");
  const auto num = IntegerFrom((*member)[0]);
  const auto den = IntegerFrom((*member)[1]);
  if (!num || !den || *den <= 0) return Fail(name, "something other than a fraction");
  value = {*num, *den};
}

void JsonReader::Read(const char* name, FrameRef& value) {
  const Json* member = Member(name);
  if (!member) return Fail(name, "no place in time");
  const auto frame = FrameFrom(*member);
  if (!frame) return Fail(name, "something other than a place in time");
  value = *frame;
}

void JsonReader::Read(const char* name, std::optional<FrameRef>& value) {
  if (!Member(name)) return;
  FrameRef frame;
  Read(name, frame);
  value = frame;
}

void JsonReader::ReadEach(const char* name, const std::function<void(const Json&)>& each) {
  const Json* member = Member(name);
  if (!member) return;
  if (!member->is_array()) return Fail(name, "something other than a list");
  for (const Json& item : *member) each(item);
}

void JsonReader::Read(const char* name, std::vector<std::string>& value) {
  ReadEach(name, [&](const Json& item) {
    if (!item.is_string()) return Fail(name, "something other than a text");
    value.push_back(item.get<std::string>());
  });
}

void JsonReader::Read(const char* name, std::map<std::string, std::string>& value) {
  const Json* member = Member(name);
  if (!member) return;
  if (!member->is_object()) return Fail(name, "something other than an object");
  for (const auto& item : member->items()) {
    if (!item.value().is_string()) return Fail(name, "something other than a text");
    value[item.key()] = item.value().get<std::string>();
  }
}

void JsonReader::Read(const char* name, std::vector<PointPx>& value) {
  ReadEach(name, [&](const Json& item) {
    if (!item.is_array() || item.size() != 2 || !item[0].is_number() || !item[1].is_number())
      return Fail(name, "something other than a point");
    value.push_back({item[0].get<double>(), item[1].get<double>()});
  });
}

Json JsonFrom(FrameRef at) { return {{"recording", at.recording}, {"ticks", at.pts.ticks}}; }
Json JsonFrom(const std::optional<FrameRef>& at) { return at ? JsonFrom(*at) : Json(nullptr); }
Json JsonFrom(Rational value) { return Json::array({value.num, value.den}); }
Json JsonFrom(const std::optional<double>& value) { return value ? Json(*value) : Json(nullptr); }

}  // namespace afterscope
