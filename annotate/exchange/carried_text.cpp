// SPDX-License-Identifier: Apache-2.0
#include "annotate/exchange/carried_text.hpp"

#include "annotate/case/text.hpp"
#include "annotate/exchange/carried_parts.hpp"
#include "annotate/store/json_text.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <array>
#include <cctype>
#include <set>

namespace afterscope {
namespace {

constexpr std::size_t kMostItems = 100;  // of one kind
constexpr std::size_t kMostTag = 65536;
constexpr std::size_t kMostNoted = 1000;  // bytes of one item that are looked at
constexpr JsonLimits kJsonLimits{256LL << 20, 64, 10'000'000, 256LL << 20};

// In the name of a column or member that tells who somebody is.
constexpr std::array<std::string_view, 6> kTelling{"patient", "birth",    "surname",
                                                   "family",  "hospital", "address"};

bool IsDigit(char c) { return c >= '0' && c <= '9'; }
bool IsLetter(char c) { return std::isalpha(static_cast<unsigned char>(c)) != 0; }
bool IsNameByte(char c) { return IsLetter(c) || IsDigit(c) || c == '.' || c == '-' || c == '_' || c == '+'; }

std::string Lower(std::string_view text) {
  std::string lower(text);
  for (char& c : lower) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return lower;
}

class Finder {
 public:
  Finder(std::string_view text, CarriedData& data) : text_(text), data_(data) {}

  // Dates, paths, addresses and positions, each once.
  void LookForTraces() {
    std::size_t position_end = 0;
    for (std::size_t i = 0; i < text_.size(); ++i) {
      const bool begins = i == 0 || !(IsDigit(text_[i - 1]) || IsLetter(text_[i - 1]));
      if (text_[i] == '@') SeeAddress(i);
      if (!begins) continue;
      if (IsDigit(text_[i])) SeeDate(i);
      if ((text_[i] == '+' || text_[i] == '-') && i >= position_end) position_end = SeePosition(i);
      SeePath(i);
    }
  }
  void Note(const std::string& where, std::string_view what, bool harmless = false) {
    const std::string words = Shortened(std::string(what.substr(0, kMostNoted)));
    if (words.empty() || !seen_.insert(where + '\n' + words).second || seen_.size() > kMostItems) return;
    data_.items.push_back({where, words, harmless});
  }

 private:
  // Of digits and signs, such as "dddd-dd-dd"; d stands for a digit.
  bool Fits(std::size_t at, std::string_view form) const {
    if (at + form.size() > text_.size()) return false;
    for (std::size_t i = 0; i < form.size(); ++i)
      if (form[i] == 'd' ? !IsDigit(text_[at + i]) : text_[at + i] != form[i]) return false;
    return at + form.size() == text_.size() || !IsDigit(text_[at + form.size()]);
  }
  void SeeDate(std::size_t at) {
    for (const std::string_view form : {"dddd-dd-dd", "dd/dd/dddd", "dd.dd.dddd", "dd-dd-dddd", "dddd/dd/dd"})
      if (Fits(at, form)) Note("date", text_.substr(at, form.size()));
  }
  // ISO 6709, as phones write it: "+12.3456+098.7654". Where it ends.
  std::size_t SeePosition(std::size_t at) {
    std::size_t i = at, numbers = 0;
    while (i < text_.size() && (text_[i] == '+' || text_[i] == '-')) {
      const std::size_t begin = ++i;
      while (i < text_.size() && (IsDigit(text_[i]) || text_[i] == '.')) ++i;
      const std::string_view number = text_.substr(begin, i - begin);
      if (number.find('.') == std::string_view::npos || number.size() < 6) break;
      ++numbers;
    }
    if (numbers >= 2) Note("position", text_.substr(at, i - at));
    return i;
  }
  void SeeAddress(std::size_t at) {
    std::size_t begin = at, end = at + 1;
    while (begin > 0 && IsNameByte(text_[begin - 1])) --begin;
    while (end < text_.size() && IsNameByte(text_[end])) ++end;
    const std::string_view host = text_.substr(at + 1, end - at - 1);
    if (begin < at && host.find('.') != std::string_view::npos && IsLetter(host.back()))
      Note("address", text_.substr(begin, end - begin));
  }
  void SeePath(std::size_t at) {
    const std::string_view rest = text_.substr(at, kMostNoted);
    const bool drive = rest.size() > 3 && IsLetter(rest[0]) && rest[1] == ':' && (rest[2] == '\\');
    const bool from_root = std::any_of(kRoots.begin(), kRoots.end(),
                                       [&](std::string_view root) { return rest.starts_with(root); });
    if (drive || from_root) Note("path", rest.substr(0, rest.find_first_of("\"'<>\n\r\t,;")));
  }
  static constexpr std::array<std::string_view, 7> kRoots{"/home/", "/Users/", "/media/", "/mnt/",
                                                          "/tmp/",  "file://", "\\\\"};

  std::string_view text_;
  CarriedData& data_;
  std::set<std::string> seen_;
};

// The value of an attribute in a tag; empty without it.
std::string AttributeOf(std::string_view tag, std::string_view name) {
  const std::string lower = Lower(tag);
  for (std::size_t at = lower.find(name); at != std::string::npos; at = lower.find(name, at + 1)) {
    std::size_t value = at + name.size();
    if (value + 1 >= tag.size() || tag[value] != '=' || (at > 0 && IsNameByte(tag[at - 1]))) continue;
    const char quote = tag[++value];
    if (quote != '"' && quote != '\'')
      return std::string(tag.substr(value, tag.find_first_of(" >", value) - value));
    const std::size_t end = tag.find(quote, value + 1);
    return std::string(tag.substr(value + 1, end == std::string_view::npos ? end : end - value - 1));
  }
  return {};
}

std::string FromBase64(std::string_view text) {
  static constexpr std::string_view kDigits =
      "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  std::string bytes;
  unsigned word = 0;
  int bits = 0;
  for (const char c : text) {
    const std::size_t digit = kDigits.find(c);
    if (digit == std::string_view::npos) continue;
    word = word << 6 | static_cast<unsigned>(digit);
    bits += 6;
    if (bits < 8) continue;
    bits -= 8;
    bytes += static_cast<char>(word >> bits & 0xFF);
  }
  return bytes;
}

// Pictures in the page as text: taken out, once they were looked into.
std::string WithoutPictures(std::string_view html, Finder& finder) {
  constexpr std::string_view kMark = ";base64,";
  std::string rest;
  std::size_t done = 0;
  for (std::size_t at = html.find(kMark); at != std::string_view::npos; at = html.find(kMark, done)) {
    const std::size_t begin = at + kMark.size();
    std::size_t end = html.find_first_of("\"')> ", begin);
    end = std::min(end, html.size());
    const std::string bytes = FromBase64(html.substr(begin, end - begin));
    for (const char* chunk : {"Exif", "eXIf", "tEXt", "iTXt", "zTXt", "http://ns.adobe.com/xap"})
      if (bytes.find(chunk) != std::string::npos) finder.Note("picture in the page", chunk);
    rest += html.substr(done, begin - done);
    done = end;
  }
  rest += html.substr(done);
  return rest;
}

void SeeTag(std::string_view tag, Finder& finder) {
  const std::string lower = Lower(tag);
  if (lower.starts_with("meta")) {
    const std::string name =
        Lower(AttributeOf(tag, "name") + AttributeOf(tag, "property") + AttributeOf(tag, "http-equiv"));
    const std::string content = AttributeOf(tag, "content");
    const bool harmless = name == "viewport" || name == "color-scheme" || name == "content-security-policy" ||
                          name == "referrer" || name == "robots" || name == "content-type" ||
                          name == "generator";
    if (!content.empty()) finder.Note("meta " + name, content, harmless);
  }
  for (const char* name : {"src", "href"}) {
    const std::string link = AttributeOf(tag, name);
    if (link.find("://") != std::string::npos || link.starts_with("mailto:")) finder.Note("link", link);
  }
}

void SeeHtml(const std::string& page, Finder& finder) {
  for (std::size_t at = page.find('<'); at != std::string::npos; at = page.find('<', at + 1)) {
    const std::string_view rest = std::string_view(page).substr(at);
    if (rest.starts_with("<!--")) {
      const std::size_t end = std::min(rest.find("-->"), rest.size());
      finder.Note("comment", rest.substr(4, end - 4));
      at += end - 1;
      continue;
    }
    if (rest.size() < 2 || !(IsLetter(rest[1]) || rest[1] == '/' || rest[1] == '!' || rest[1] == '?'))
      continue;  // a sign among the words
    std::string_view tag = rest.substr(1, kMostTag);
    tag = tag.substr(0, tag.find('>'));
    SeeTag(tag, finder);
    at += tag.size();
  }
}

void SeeCues(const std::string& text, TextKind kind, Finder& finder) {
  bool note = false, between = true;
  for (std::size_t at = 0; at <= text.size();) {
    const std::size_t end = std::min(text.find('\n', at), text.size());
    const std::string_view line = Trimmed(std::string_view(text).substr(at, end - at));
    at = end + 1;
    const std::string_view next = std::string_view(text).substr(std::min(at, text.size()));
    const bool names_cue = between && next.substr(0, next.find('\n')).find("-->") != std::string_view::npos;
    if (between && line.starts_with("NOTE")) note = true;
    if (note) finder.Note("note", line);
    if (names_cue && line.find("-->") == std::string_view::npos && !line.empty() &&
        !std::all_of(line.begin(), line.end(), IsDigit))
      finder.Note("name of a cue", line);
    if (kind == TextKind::kWebVtt && line.find("<v") != std::string_view::npos)
      finder.Note("speaker", line.substr(line.find("<v")).substr(0, line.substr(line.find("<v")).find('>')));
    between = line.empty();
    note = note && !between;
  }
}

bool NamesSomeone(const std::string& column) {
  const std::string lower = Lower(column);
  return std::any_of(kTelling.begin(), kTelling.end(),
                     [&](std::string_view word) { return lower.find(word) != std::string::npos; });
}

void SeeMembers(const Json& json, Finder& finder) {
  if (json.is_object())
    for (const auto& [name, value] : json.items())
      if (NamesSomeone(name) && !value.is_null() && value != Json(std::string()))
        finder.Note("member " + name, value.dump());
  if (json.is_structured())
    for (const auto& inner : json) SeeMembers(inner, finder);
}

void SeeColumns(const std::string& text, Finder& finder) {
  const std::string header = text.substr(0, text.find('\n'));
  for (std::size_t at = 0; at <= header.size();) {
    const std::size_t end = std::min(header.find_first_of(",;\t", at), header.size());
    const std::string column(Trimmed(std::string_view(header).substr(at, end - at)));
    if (NamesSomeone(column)) finder.Note("column", column);
    at = end + 1;
  }
}

}  // namespace

TextKind TextKindOf(const std::string& path, std::string_view head) {
  const std::string name = Lower(path), begin = Lower(head);
  if (begin.starts_with("webvtt") || name.ends_with(".vtt")) return TextKind::kWebVtt;
  if (begin.starts_with("<!doctype html") || begin.starts_with("<html") || name.ends_with(".html") ||
      name.ends_with(".htm"))
    return TextKind::kHtml;
  if (name.ends_with(".json")) return TextKind::kJson;
  if (name.ends_with(".srt")) return TextKind::kSubRip;
  if (name.ends_with(".csv") || name.ends_with(".tsv")) return TextKind::kTable;
  return TextKind::kNone;
}

bool SeeText(TextKind kind, const std::string& text, CarriedData& data) {
  static constexpr const char* kNames[] = {"", "HTML", "WebVTT", "SubRip", "JSON", "table"};
  data.kind = kNames[static_cast<std::size_t>(kind)];
  Finder parts(text, data);
  std::string words = text;
  if (kind == TextKind::kHtml) {
    words = WithoutPictures(text, parts);
    SeeHtml(words, parts);
  }
  if (kind == TextKind::kWebVtt || kind == TextKind::kSubRip) SeeCues(text, kind, parts);
  if (kind == TextKind::kTable) SeeColumns(text, parts);
  if (kind == TextKind::kJson) {
    const std::string_view unmarked = std::string_view(text).substr(text.starts_with("\xEF\xBB\xBF") ? 3 : 0);
    const auto json = ParseJson(unmarked, "the file", kJsonLimits);
    if (!json.ok()) return false;
    SeeMembers(*json, parts);
  }
  Finder traces(words, data);
  traces.LookForTraces();
  data.items.push_back({"words", fmt::format("{} bytes of text: read it for names", words.size()), true});
  return true;
}

}  // namespace afterscope
