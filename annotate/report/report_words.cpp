// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/report_words.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace afterscope {

namespace {

constexpr std::int64_t kMostBytes = 1 << 20;

ReportWords FromJson(const nlohmann::json& file) {
  ReportWords words;
  words.texts = file.at("texts").get<std::map<std::string, std::string>>();
  int order = 0;
  for (const auto& entry : file.at("findings"))
    words.findings[entry.at("name").get<std::string>()] = {entry.at("label").get<std::string>(),
                                                           entry.at("group").get<std::string>(),
                                                           entry.value("first_page", ""), order++};
  words.key_findings = file.at("key_findings").get<std::vector<std::string>>();
  words.cautions = file.at("cautions").get<std::vector<std::string>>();
  return words;
}

}  // namespace

const std::string& ReportWords::Text(const std::string& key) const {
  const auto found = texts.find(key);
  return found == texts.end() ? key : found->second;
}

const std::string& ReportWords::LabelOf(const std::string& finding) const {
  const auto found = findings.find(finding);
  return found == findings.end() ? finding : found->second.label;
}

Result<ReportWords> LoadReportWords(const std::string& path, FileSystem& files) {
  AFTERSCOPE_ASSIGN(const std::string bytes, files.ReadAll(path, kMostBytes));
  try {
    return FromJson(nlohmann::json::parse(bytes));
  } catch (const nlohmann::json::exception& problem) {
    return Error{
        ErrorCode::kUnreadable,
        fmt::format("The report words in {} can't be used: {}; restore the file from the program's assets.",
                    path, problem.what())};
  }
}

}  // namespace afterscope
