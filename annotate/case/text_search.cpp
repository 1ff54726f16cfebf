// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/text_search.hpp"

#include <glib.h>

#include <algorithm>
#include <memory>
#include <optional>
#include <string>

namespace afterscope {
namespace {

constexpr gunichar kNoCharacter = 0xFFFFFFFF;

struct Unit {
  gunichar code = kNoCharacter;
  ByteRange bytes;
};

// A text as it is compared: folded characters, each with the bytes of the whole character that it came from.
struct FoldedText {
  std::vector<gunichar> codes;
  std::vector<ByteRange> bytes;
};

std::optional<gunichar> HexAt(std::string_view text, std::size_t at) {
  if (at + 6 > text.size() || text[at] != '\\' || text[at + 1] != 'u') return std::nullopt;
  gunichar code = 0;
  for (std::size_t i = at + 2; i < at + 6; ++i) {
    const int digit = g_ascii_xdigit_value(text[i]);
    if (digit < 0) return std::nullopt;
    code = code * 16 + static_cast<gunichar>(digit);
  }
  return code;
}

std::optional<Unit> EscapeAt(std::string_view text, std::size_t at) {
  if (text[at] != '\\' || at + 1 >= text.size()) return std::nullopt;
  if (const auto code = HexAt(text, at)) {
    const auto low = *code >= 0xD800 && *code < 0xDC00 ? HexAt(text, at + 6) : std::nullopt;
    if (low && *low >= 0xDC00 && *low < 0xE000)
      return Unit{0x10000 + ((*code - 0xD800) << 10) + (*low - 0xDC00), {at, at + 12}};
    return Unit{g_unichar_validate(*code) ? *code : kNoCharacter, {at, at + 6}};
  }
  constexpr std::string_view kLetters = "\"\\/bfnrt";
  constexpr std::string_view kMeanings = "\"\\/\b\f\n\r\t";
  const auto known = kLetters.find(text[at + 1]);
  if (known == std::string_view::npos) return std::nullopt;
  return Unit{static_cast<gunichar>(kMeanings[known]), {at, at + 2}};
}

Unit UnitAt(std::string_view text, std::size_t at, TextForm form) {
  if (form == TextForm::kJsonEscapes)
    if (const auto escape = EscapeAt(text, at)) return *escape;
  const auto lead = static_cast<unsigned char>(text[at]);
  if (lead < 0x80) return {lead, {at, at + 1}};
  const gunichar code = g_utf8_get_char_validated(text.data() + at, static_cast<gssize>(text.size() - at));
  if (!g_unichar_validate(code)) return {kNoCharacter, {at, at + 1}};
  return {code, {at, at + static_cast<std::size_t>(g_unichar_to_utf8(code, nullptr))}};
}

struct Freed {
  void operator()(gchar* text) const { g_free(text); }
};
using GText = std::unique_ptr<gchar, Freed>;

GText Decomposed(const gchar* text) { return GText(g_utf8_normalize(text, -1, G_NORMALIZE_NFD)); }

// One character with its combining marks.
void AppendFolded(const std::string& character, ByteRange bytes, FoldedText& folded) {
  const GText plain = Decomposed(character.c_str());
  const GText caseless(g_utf8_casefold(plain.get(), -1));
  const GText fresh = Decomposed(caseless.get());
  for (const gchar* at = fresh.get(); *at; at = g_utf8_next_char(at)) {
    folded.codes.push_back(g_utf8_get_char(at));
    folded.bytes.push_back(bytes);
  }
}

void AppendUtf8(gunichar code, std::string& text) {
  gchar bytes[6];
  text.append(bytes, static_cast<std::size_t>(g_unichar_to_utf8(code, bytes)));
}

// By its first byte: no ASCII character is one, but an escape may be.
bool MayBeMark(char first) { return static_cast<unsigned char>(first) >= 0x80 || first == '\\'; }

bool IsMark(const Unit& unit) {
  return unit.code != kNoCharacter && g_unichar_combining_class(unit.code) != 0;
}

FoldedText Fold(std::string_view text, TextForm form) {
  FoldedText folded;
  folded.codes.reserve(text.size());
  folded.bytes.reserve(text.size());
  for (std::size_t at = 0; at < text.size();) {
    const Unit first = UnitAt(text, at, form);
    at = first.bytes.end;
    ByteRange bytes = first.bytes;
    std::string character;
    for (; at < text.size() && MayBeMark(text[at]); at = bytes.end) {
      const Unit next = UnitAt(text, at, form);
      if (first.code == kNoCharacter || !IsMark(next)) break;
      if (character.empty()) AppendUtf8(first.code, character);
      AppendUtf8(next.code, character);
      bytes.end = next.bytes.end;
    }
    if (character.empty() && (first.code < 0x80 || first.code == kNoCharacter)) {
      folded.codes.push_back(first.code < 0x80
                                 ? static_cast<gunichar>(g_ascii_tolower(static_cast<gchar>(first.code)))
                                 : first.code);
      folded.bytes.push_back(bytes);
      continue;
    }
    if (character.empty()) AppendUtf8(first.code, character);
    AppendFolded(character, bytes, folded);
  }
  return folded;
}

}  // namespace

std::vector<ByteRange> FindCaseless(std::string_view text, std::string_view wanted, TextForm form) {
  std::vector<ByteRange> found;
  const std::vector<gunichar> pattern = Fold(wanted, TextForm::kPlain).codes;
  if (pattern.empty()) return found;
  const FoldedText folded = Fold(text, form);
  const auto start = folded.codes.begin();
  for (auto from = start;;) {
    const auto at = std::search(from, folded.codes.end(), pattern.begin(), pattern.end());
    if (at == folded.codes.end()) return found;
    const auto last = at - start + static_cast<std::ptrdiff_t>(pattern.size()) - 1;
    found.push_back({folded.bytes[static_cast<std::size_t>(at - start)].begin,
                     folded.bytes[static_cast<std::size_t>(last)].end});
    from = start + last + 1;
    while (from != folded.codes.end() &&
           folded.bytes[static_cast<std::size_t>(from - start)].begin < found.back().end)
      ++from;
  }
}

}  // namespace afterscope
