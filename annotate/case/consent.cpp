// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/consent.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace afterscope {

std::string WhyNotAllowed(const CaseRecord& record, const std::string& purpose, const std::string& today) {
  const auto consent = std::find_if(record.consent.begin(), record.consent.end(),
                                    [&](const Consent& c) { return c.purpose == purpose; });
  if (consent == record.consent.end() || !consent->given)
    return "no consent for that is noted; note it in the case (consent) if it was given";
  if (consent->withdrawn) return "the consent was withdrawn";
  if (!consent->delete_by.empty() && !today.empty() && consent->delete_by < today)
    return fmt::format("it was to be deleted by {}", consent->delete_by);
  return {};
}

bool IsToBeDeleted(const Consent& consent, const std::string& today) {
  return !consent.delete_by.empty() && consent.delete_by < today;
}

std::string PassedDeleteBy(const CaseRecord& record, const std::string& today) {
  std::string earliest;
  for (const Consent& consent : record.consent)
    if (IsToBeDeleted(consent, today) && (earliest.empty() || consent.delete_by < earliest))
      earliest = consent.delete_by;
  return earliest;
}

ReportConsent ConsentOfReport(const CaseRecord& record, const std::string& today) {
  if (record.consent.empty()) return {};
  const std::string teaching = WhyNotAllowed(record, "local teaching", today);
  const std::string review = WhyNotAllowed(record, "review", today);
  if (teaching.empty()) return {};
  if (review.empty())
    return {true, fmt::format("This report is for the review of the case alone, not for local teaching: {}.",
                              teaching)};
  return {false, fmt::format("No picture of the operation is shown. For local teaching: {}. For review: {}.",
                             teaching, review)};
}

}  // namespace afterscope
