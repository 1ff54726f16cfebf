// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/look/script_text.hpp"

#include "annotate/overlay/text_bitmap.hpp"

#include <cmath>

namespace afterscope {
namespace {

constexpr std::size_t kMostEntries = 400;

// The code point at `i`, which moves behind it; U+FFFD for malformed bytes.
char32_t NextCodePoint(std::string_view text, std::size_t& i) {
  const auto byte = [&](std::size_t k) { return k < text.size() ? static_cast<unsigned char>(text[k]) : 0U; };
  const unsigned first = byte(i);
  const std::size_t length = first < 0x80         ? 1
                             : (first >> 5) == 6  ? 2
                             : (first >> 4) == 14 ? 3
                             : (first >> 3) == 30 ? 4
                                                  : 0;
  if (length == 0) return ++i, U'\uFFFD';
  char32_t value = length == 1 ? first : first & (0xFFU >> (length + 1));
  for (std::size_t k = 1; k < length; ++k) {
    if ((byte(i + k) & 0xC0U) != 0x80U) return ++i, U'\uFFFD';
    value = (value << 6) | (byte(i + k) & 0x3FU);
  }
  i += length;
  return value;
}

bool IsPlain(char32_t c) {
  if (c >= 0x0300 && c <= 0x036F) return false;  // combining marks
  if (c >= 0x200B && c <= 0x200F) return false;  // joiners and direction marks
  if (c >= 0x202A && c <= 0x202E) return false;  // directions
  return c < 0x0530 || (c >= 0x1E00 && c <= 0x23FF) || (c >= 0x25A0 && c <= 0x25FF) || c == 0x2713 ||
         c == 0x2718;
}

}  // namespace

bool IsPlainScript(std::string_view utf8) {
  for (std::size_t i = 0; i < utf8.size();)
    if (!IsPlain(NextCodePoint(utf8, i))) return false;
  return true;
}

void ScriptText::Forget() {
  entries_.clear();
  ages_.clear();
}

const Texture& ScriptText::TextureOf(const ImFont* font, const std::string& text, float wrap_px) {
  const Key key{text, static_cast<int>(font->FontSize), static_cast<int>(wrap_px)};
  if (const auto found = entries_.find(key); found != entries_.end()) {
    ages_.splice(ages_.end(), ages_, found->second.age);
    return found->second.texture;
  }
  if (entries_.size() >= kMostEntries) {
    entries_.erase(ages_.front());
    ages_.pop_front();
  }
  // ImGui's size is the height of a line, Pango's that of the letters.
  const TextBitmap bitmap = RenderText(text, {font->FontSize * 0.75, wrap_px, false});
  Texture texture(gl_);
  if (!bitmap.coverage.empty()) {
    texture.Upload({}, bitmap.width, bitmap.height, 0, bitmap.coverage.data());
    texture.ChannelAsOpacity();
  }
  const auto age = ages_.insert(ages_.end(), key);
  return entries_.emplace(key, Entry{std::move(texture), age}).first->second.texture;
}

ImVec2 ScriptText::Size(const ImFont* font, const std::string& text, float wrap_px) {
  if (IsPlainScript(text))
    return font->CalcTextSizeA(font->FontSize, 1e9F, wrap_px, text.data(), text.data() + text.size());
  const Texture& texture = TextureOf(font, text, wrap_px);
  return {static_cast<float>(texture.width()),
          std::max(font->FontSize, static_cast<float>(texture.height()))};
}

void ScriptText::Draw(ImDrawList* list, const ImFont* font, ImVec2 at, ImU32 colour, const std::string& text,
                      float wrap_px) {
  if (IsPlainScript(text)) {
    list->AddText(font, font->FontSize, at, colour, text.data(), text.data() + text.size(), wrap_px);
    return;
  }
  const Texture& texture = TextureOf(font, text, wrap_px);
  if (texture.width() == 0) return;
  const ImVec2 from{std::round(at.x), std::round(at.y)};
  const ImVec2 to{from.x + static_cast<float>(texture.width()),
                  from.y + static_cast<float>(texture.height())};
  list->AddImage(reinterpret_cast<ImTextureID>(static_cast<std::intptr_t>(texture.id())), from, to, {0, 0},
                 {1, 1}, colour);
}

}  // namespace afterscope
