// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/clip/clip_checks.hpp"

#include "annotate/case/consent.hpp"
#include "annotate/store/pending_file.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>

namespace afterscope {

Status CheckFree(const std::string& path, FileSystem& files) {
  AFTERSCOPE_ASSIGN(const FileInfo info, files.Stat(path));
  if (info.type == FileType::kAbsent) return {};
  return IsThereAlready(path);
}

Status CheckConsent(const CaseRecord& record, const std::string& purpose, const std::string& today) {
  if (std::find(std::begin(kClipPurposes), std::end(kClipPurposes), purpose) == std::end(kClipPurposes))
    return Error{
        ErrorCode::kBadCall,
        fmt::format("Can't read the purpose '{}': give review, 'local teaching' or publication.", purpose)};
  const std::string name = record.code.empty() ? "this case" : fmt::format("case {}", record.code);
  const std::string why = WhyNotAllowed(record, purpose, today);
  if (why.empty()) return {};
  return Error{ErrorCode::kNotComputable,
               fmt::format("No clip of {} is made for {}: {}.", name, purpose, why)};
}

Status CheckConsents(const ClipPlan& plan, const ClipSource& source, const ClipOptions& options) {
  for (std::size_t i = 0; i < plan.parts.size(); ++i)
    if (plan.parts[i].kind != ClipPartKind::kTitle)
      AFTERSCOPE_TRY(CheckConsent(source.CaseOf(i).record, options.purpose, options.today));
  return {};
}

}  // namespace afterscope
