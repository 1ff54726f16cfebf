// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/exchange/carried_data.hpp"

#include <string>
#include <string_view>

namespace afterscope {

// What a file of words carries beside what it is for, by the kind that its name or its beginning tells.
enum class TextKind { kNone, kHtml, kWebVtt, kSubRip, kJson, kTable };
TextKind TextKindOf(const std::string& path, std::string_view head);

// Adds what is found: in HTML descriptions, comments, links to elsewhere and what pictures in it carry; in
// WebVTT notes, names of speakers and of cues; in tables the columns that name people, places or times; in
// all of them dates, paths of files, addresses and positions on the earth. That the words themselves name
// nobody can't be known and is said. false: JSON that contradicts itself.
bool SeeText(TextKind kind, const std::string& text, CarriedData& data);

}  // namespace afterscope
