// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"

#include <string>

namespace afterscope {

// Why the case's consent does not reach a purpose, in words that go on a sentence; empty: it does. What is
// not noted was not given. `today`: ISO 8601 date, for delete-by dates; empty: these are passed over.
std::string WhyNotAllowed(const CaseRecord& record, const std::string& purpose, const std::string& today);

// Whether it has a delete-by date that has passed.
bool IsToBeDeleted(const Consent& consent, const std::string& today);
// The earliest of these dates; empty: none.
std::string PassedDeleteBy(const CaseRecord& record, const std::string& today);

// What the consent leaves of a report, which is made for review and for local teaching.
struct ReportConsent {
  bool pictures = true;  // false: the noted consent reaches neither
  std::string caution;   // empty: it reaches both, or nothing of consent is noted at all
};
ReportConsent ConsentOfReport(const CaseRecord& record, const std::string& today);

}  // namespace afterscope
