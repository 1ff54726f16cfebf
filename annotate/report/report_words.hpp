// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/store/file_system.hpp"
#include "metrics/base/result.hpp"

#include <map>
#include <string>
#include <vector>

namespace afterscope {

// How a finding is called in a report and where it stands.
struct FindingWords {
  std::string label;
  std::string group;       // which part of the report it stands in
  std::string first_page;  // how it is called on the first page; empty: as elsewhere
  int order = 0;           // within the report; as in the file
};

// The words of a report, from a file of assets/reports: data, so that a department can change or translate
// them.
struct ReportWords {
  std::map<std::string, std::string> texts;      // by key; headings, labels, sentences with {} for values
  std::map<std::string, FindingWords> findings;  // by name
  std::vector<std::string> key_findings;  // names that may stand on the first page, most important first
  std::vector<std::string> cautions;

  // The text, or the key itself where the file lacks it, so that a gap is seen and nothing fails.
  const std::string& Text(const std::string& key) const;
  // The label, or the name itself.
  const std::string& LabelOf(const std::string& finding) const;
};

// Fails with one sentence where the file can't be read or is not of this form.
Result<ReportWords> LoadReportWords(const std::string& path, FileSystem& files = RealFileSystem());

}  // namespace afterscope
