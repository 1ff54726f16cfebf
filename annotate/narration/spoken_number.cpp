// SPDX-License-Identifier: Apache-2.0
#include "annotate/narration/spoken_number.hpp"

#include "annotate/case/text.hpp"

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

// A whole number in number words.
class WordNumber {
 public:
  // Takes one more number word; false if it does not go on with it ("four" after "five").
  bool Take(double value) {
    if (value == 1000) {
      thousands_ = std::max(1.0, rest_) * 1000;
      rest_ = 0;
    } else if (value >= 100) {
      if (rest_ >= 10) return false;
      rest_ = rest_ == 0 ? value : rest_ * value;
    } else if (rest_ >= 1 && rest_ < 10 && value >= 10) {  // "three fifty"
      rest_ = rest_ * 100 + value;
    } else if (Fits(value)) {
      rest_ += value;
    } else {
      return false;
    }
    return true;
  }
  double value() const { return thousands_ + rest_; }

 private:
  bool Fits(double value) const {
    const auto hundreds_only = std::fmod(rest_, 100) == 0;
    const bool tens_only = std::fmod(rest_, 10) == 0 && std::fmod(rest_, 100) >= 20;
    return rest_ == 0 || hundreds_only || (tens_only && value < 10);
  }

  double thousands_ = 0;
  double rest_ = 0;
};

std::optional<SpokenNumber> WholeNumberAt(const std::vector<SpokenWord>& words, std::size_t at,
                                          const NarrationRules& rules) {
  if (at >= words.size()) return std::nullopt;
  if (const auto digits = NumberFrom(words[at].plain)) return SpokenNumber{*digits, at + 1};
  WordNumber number;
  std::size_t end = at;
  for (std::size_t i = at; i < words.size(); ++i) {
    if (end > at && end == i && i + 1 < words.size() && IsOneOf(rules.joining_words, words[i].plain) &&
        rules.numbers.contains(words[i + 1].plain))
      continue;
    const auto value = rules.numbers.find(words[i].plain);
    if (value == rules.numbers.end() || !number.Take(value->second)) break;
    end = i + 1;
  }
  if (end == at) return std::nullopt;
  return SpokenNumber{number.value(), end};
}

}  // namespace

std::optional<SpokenNumber> NumberAt(const std::vector<SpokenWord>& words, std::size_t at,
                                     const NarrationRules& rules) {
  auto number = WholeNumberAt(words, at, rules);
  if (!number || number->end + 1 >= words.size() || !IsOneOf(rules.decimal_words, words[number->end].plain))
    return number;
  double place = 0.1;
  for (std::size_t i = number->end + 1; i < words.size(); ++i, place /= 10) {
    const auto word = rules.numbers.find(words[i].plain);
    const auto digit = word != rules.numbers.end() ? std::optional(word->second) : NumberFrom(words[i].plain);
    if (!digit || *digit < 0 || *digit > 9) break;
    number->value += place * *digit;
    number->end = i + 1;
  }
  return number;
}

}  // namespace afterscope
