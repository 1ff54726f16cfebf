// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/words.hpp"
#include "annotate/store/json_text.hpp"
#include "metrics/base/point.hpp"
#include "metrics/base/time.hpp"

#include <nlohmann/json.hpp>

#include <functional>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// Whether a timestamp can be subtracted from any other such one. Those beyond are refused as no place in
// time.
constexpr bool IsSaneTime(Pts at) {
  constexpr std::int64_t kMost = std::int64_t{1} << 60;
  return at.ticks >= -kMost && at.ticks <= kMost;
}

// Reads the members of one object. A member that is absent leaves the value as it was; one of the wrong type
// is noted as the problem, the first one counts. Unknown members are passed over.
class JsonReader {
 public:
  // `what` names the object in the sentence of a problem. Problems go to `problem` (shared by inner readers).
  JsonReader(const Json& json, std::string what, std::string& problem);

  void Read(const char* name, std::string& value);
  void Read(const char* name, bool& value);
  void Read(const char* name, int& value);
  void Read(const char* name, std::int64_t& value);
  void Read(const char* name, double& value);
  void Read(const char* name, std::optional<double>& value);
  void Read(const char* name, Pts& value);
  void Read(const char* name, Rational& value);
  void Read(const char* name, FrameRef& value);
  void Read(const char* name, std::optional<FrameRef>& value);
  void Read(const char* name, std::vector<std::string>& value);
  void Read(const char* name, std::map<std::string, std::string>& value);
  void Read(const char* name, std::vector<PointPx>& value);
  template <class Enum>
  requires std::is_enum_v<Enum>
  void Read(const char* name, Enum& value) {
    std::string word(WordOf(value));
    Read(name, word);
    if (const auto known = FromWord<Enum>(word))
      value = *known;
    else
      Fail(name, "a word that is not known");
  }
  // The member if it is an array, each item by `each`.
  void ReadEach(const char* name, const std::function<void(const Json&)>& each);
  // The member if it is there and not null.
  const Json* Member(const char* name) const;
  void Fail(const char* name, const char* problem);

 private:
  const Json& json_;
  std::string what_;
  std::string& problem_;
};

Json JsonFrom(FrameRef at);
Json JsonFrom(const std::optional<FrameRef>& at);
Json JsonFrom(Rational value);
Json JsonFrom(const std::optional<double>& value);
template <class Enum>
requires std::is_enum_v<Enum> Json JsonFrom(Enum value) { return std::string(WordOf(value)); }

}  // namespace afterscope
