// SPDX-License-Identifier: Apache-2.0
#include "annotate/narration/spoken_words.hpp"

#include <glib.h>

#include <algorithm>
#include <array>
#include <cstdlib>
#include <memory>
#include <utility>

namespace afterscope {
namespace {

struct FreeText {
  void operator()(char* text) const { g_free(text); }
};
using GlibText = std::unique_ptr<char, FreeText>;

// Lower case without accents; empty if it is no text.
std::string Plain(std::string_view word) {
  const GlibText folded(g_utf8_casefold(word.data(), static_cast<gssize>(word.size())));
  const GlibText apart(g_utf8_normalize(folded.get(), -1, G_NORMALIZE_NFKD));
  if (!apart) return {};
  std::string plain;
  for (const char* at = apart.get(); *at != '\0';) {
    const char* const next = g_utf8_next_char(at);
    const gunichar letter = g_utf8_get_char(at);
    if (g_unichar_isalnum(letter) || letter == '.') plain.append(at, next);
    if (letter == ',') plain += '.';
    at = next;
  }
  return plain;
}

// What belongs to a word at `at`: letters, digits, and what may stand inside of one.
bool JoinsWord(gunichar before, gunichar letter, gunichar after) {
  if (g_unichar_isalnum(letter) || g_unichar_ismark(letter)) return true;
  const bool between_digits = g_unichar_isdigit(before) && g_unichar_isdigit(after);
  if (letter == '.' || letter == ',') return between_digits;
  const bool between_letters = g_unichar_isalpha(before) && g_unichar_isalpha(after);
  return between_letters && (letter == '/' || letter == '\'' || letter == 0x2019);
}

// A character at `at`, 0 past the end or where the bytes are no text.
gunichar CharacterAt(std::string_view text, std::size_t at) {
  if (at >= text.size()) return 0;
  const gunichar letter = g_utf8_get_char_validated(text.data() + at, static_cast<gssize>(text.size() - at));
  return letter == static_cast<gunichar>(-1) || letter == static_cast<gunichar>(-2) ? 0 : letter;
}

std::size_t LengthAt(std::string_view text, std::size_t at) {
  const gunichar letter = CharacterAt(text, at);
  return letter == 0 ? 1 : static_cast<std::size_t>(g_unichar_to_utf8(letter, nullptr));
}

// Written in this order of rules; each pair of letters first, then single ones.
constexpr std::array<std::pair<std::string_view, std::string_view>, 14> kPairs{{{"ph", "f"},
                                                                                {"th", "t"},
                                                                                {"rh", "r"},
                                                                                {"ch", "c"},
                                                                                {"ck", "k"},
                                                                                {"qu", "ku"},
                                                                                {"sc", "s"},
                                                                                {"ae", "e"},
                                                                                {"oe", "e"},
                                                                                {"ce", "se"},
                                                                                {"ci", "si"},
                                                                                {"cy", "si"},
                                                                                {"ge", "je"},
                                                                                {"gi", "ji"}}};

bool IsVowel(char letter) { return std::string_view("aeiou").find(letter) != std::string_view::npos; }

void AddSound(std::string_view sound, std::string& out) {
  for (const char letter : sound)
    if (out.empty() || out.back() != letter || (letter >= '0' && letter <= '9')) out += letter;
}

}  // namespace

std::string SoundOf(std::string_view plain) {
  std::string out;
  for (std::size_t at = 0; at < plain.size();) {
    const std::string_view pair = plain.substr(at, 2);
    const auto rule =
        std::find_if(kPairs.begin(), kPairs.end(), [&](const auto& r) { return r.first == pair; });
    const bool soft_sc =
        pair == "sc" && (at + 2 >= plain.size() || !(plain[at + 2] == 'e' || plain[at + 2] == 'i'));
    if (rule != kPairs.end() && !soft_sc) {
      AddSound(rule->second, out);
      at += 2;
      continue;
    }
    const char letter = plain[at++];
    switch (letter) {
      case 'c':
      case 'q':
        AddSound("k", out);
        break;
      case 'x':
        AddSound("ks", out);
        break;
      case 'z':
        AddSound("s", out);
        break;
      case 'y':
        AddSound("i", out);
        break;
      case 'h':
        break;
      default:
        AddSound(std::string_view(&letter, 1), out);
    }
  }
  if (out.size() > 3 && out.back() == 'e' && !IsVowel(out[out.size() - 2])) out.pop_back();
  return out;
}

std::vector<SpokenWord> WordsIn(std::string_view text) {
  std::vector<SpokenWord> words;
  std::size_t begin = text.size();
  gunichar before = 0;
  const auto close = [&](std::size_t end) {
    if (begin >= end) return;
    std::string plain = Plain(text.substr(begin, end - begin));
    if (!plain.empty()) {
      std::string sound = SoundOf(plain);
      words.push_back({std::move(plain), std::move(sound), begin, end});
    }
  };
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t next = at + LengthAt(text, at);
    const gunichar letter = CharacterAt(text, at);
    if (JoinsWord(before, letter, CharacterAt(text, next))) {
      begin = std::min(begin, at);
    } else {
      close(at);
      begin = text.size();
    }
    before = letter;
    at = next;
  }
  close(text.size());
  return words;
}

int SpellingDistance(std::string_view a, std::string_view b, int most) {
  const auto longer = static_cast<int>(std::max(a.size(), b.size()));
  const auto shorter = static_cast<int>(std::min(a.size(), b.size()));
  if (longer - shorter > most) return most + 1;
  std::vector<int> older(b.size() + 1), old(b.size() + 1), now(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) old[j] = static_cast<int>(j);
  for (std::size_t i = 1; i <= a.size(); ++i) {
    now[0] = static_cast<int>(i);
    int least = now[0];
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const int exchanged = old[j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1);
      now[j] = std::min({exchanged, old[j] + 1, now[j - 1] + 1});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
        now[j] = std::min(now[j], older[j - 2] + 1);
      least = std::min(least, now[j]);
    }
    if (least > most) return most + 1;
    older.swap(old);
    old.swap(now);
  }
  return std::min(old[b.size()], most + 1);
}

}  // namespace afterscope
