// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/result.hpp"

#include <cstdint>
#include <string>
#include <vector>

namespace afterscope {

// Something in a file beside pictures and sound.
struct CarriedItem {
  std::string where;      // box, element, chunk or field as its standard names it
  std::string what;       // the words or the date that it holds, shortened, control characters as spaces
  bool harmless = false;  // says nothing of people, places, times or devices
};

struct CarriedData {
  std::string kind;  // "MP4", "WebM", "PNG", "JPEG", "PDF", "HTML", "WebVTT" ...
  std::vector<CarriedItem> items;

  bool Clean() const;  // nothing but harmless items
};

// Lists what a file to be shared still carries: in MP4 and QuickTime (ISO/IEC 14496-12) dates of creation,
// user and meta data, unknown boxes, free room that is not empty, names of handlers, tracks besides picture
// and sound, and user data in H.264 streams (ISO/IEC 14496-10, SEI payload type 5); in Matroska and WebM
// (RFC 9559) title, date, tags, attachments, names of applications, tracks besides picture and sound; in PNG
// every chunk but those of the picture; in JPEG comments and application segments; in both what follows the
// picture's end; in PDF the document's information. HTML, WebVTT, SubRip, JSON and tables see
// carried_text.hpp. What is inside the pictures and the sound can't be known. H.264 streams are looked
// through as far as `most_media` bytes. Fails for a file of another kind, one that is cut off, and what is no
// regular file.
Result<CarriedData> WhatFileCarries(const std::string& path, std::int64_t most_media = std::int64_t{4} << 30);

}  // namespace afterscope
