// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/vouching.hpp"

#include <nlohmann/json.hpp>

#include <algorithm>

namespace afterscope {

Json VouchingJson(const VouchedScrub& scrub) {
  return {{"review", scrub.review}, {"previous_head", scrub.from}, {"digest", scrub.to}};
}

std::vector<VouchedScrub> VouchedScrubs(const JournalContent& case_journal) {
  std::vector<VouchedScrub> scrubs;
  for (const JournalLine& line : case_journal.lines) {
    if (line.kind != "scrub") continue;
    const Json json = Json::parse(line.text);
    const auto reviews = json.find("reviews");
    if (reviews == json.end() || !reviews->is_array()) continue;
    for (const Json& one : *reviews)
      scrubs.push_back(
          {TextMember(one, "review"), TextMember(one, "previous_head"), TextMember(one, "digest")});
  }
  return scrubs;
}

bool IsSigning(const JournalLine& line) {
  if (line.kind != "facts") return false;
  const Json json = Json::parse(line.text);
  const auto edits = json.find("edits");
  return edits != json.end() && std::any_of(edits->begin(), edits->end(), [](const Json& edit) {
           return edit.contains("set_signature") && edit["set_signature"].is_object();
         });
}

bool HasSigning(const JournalContent& journal) {
  return std::any_of(journal.lines.begin(), journal.lines.end(), IsSigning);
}

}  // namespace afterscope
