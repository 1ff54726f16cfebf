// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/seal_check.hpp"

#include "annotate/case/signing.hpp"
#include "annotate/store/document.hpp"
#include "annotate/store/journal.hpp"
#include "annotate/store/review_folders.hpp"
#include "annotate/store/vouching.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <optional>

namespace afterscope {
namespace {

// What a review and its journal say of its sealing.
struct Sealed {
  Review review;
  std::string recovered_from;
  std::string head;                    // digest of its last entry
  std::vector<std::string> heads;      // what its own journal says that it was sealed by; empty: not signed
  std::vector<std::string> vouched;    // `head`, and what the case's journal says that it was before scrubs
  bool scrubs_are_of_another = false;  // the case's journal has scrubs of it, and none made it what it is
  bool changed_since = false;

  bool HasSeal(const std::string& seal) const {
    return IsVouched(seal) || (!scrubs_are_of_another && Holds(heads, seal));
  }
  bool IsVouched(const std::string& seal) const { return !heads.empty() && Holds(vouched, seal); }

 private:
  static bool Holds(const std::vector<std::string>& digests, const std::string& seal) {
    return std::find(digests.begin(), digests.end(), seal) != digests.end();
  }
};

void ReadSealing(const JournalContent& content, Sealed& sealed) {
  for (const JournalLine& line : content.lines) {
    if (IsSigning(line)) {
      sealed.heads = {line.digest};
      sealed.changed_since = false;
    } else if (line.kind == "scrub") {
      sealed.heads.push_back(TextMember(Json::parse(line.text), "previous_head"));
    } else {
      sealed.changed_since = true;
    }
  }
  if (!sealed.review.is_signed) sealed.heads.clear();
  if (!content.lines.empty()) sealed.head = content.lines.back().digest;
}

// From what it is now back through the scrubs that the case's journal has.
void ReadVouched(const std::vector<VouchedScrub>& scrubs, Sealed& sealed) {
  sealed.vouched = {sealed.head};
  bool any = false;
  bool known = false;  // a scrub that was cut short has left what it was to change
  for (auto scrub = scrubs.rbegin(); scrub != scrubs.rend(); ++scrub) {
    if (scrub->review != sealed.review.id.value) continue;
    if (scrub->to == sealed.vouched.back()) sealed.vouched.push_back(scrub->from);
    any = true;
    known = known || scrub->to == sealed.head || scrub->from == sealed.head;
  }
  sealed.scrubs_are_of_another = any && !known;
}

// Whether a lost history counts against the review: it is part of the evidence.
bool IsEvidence(const Review& review) { return review.kind == ReviewKind::kFormal || review.is_signed; }

std::string FoundBy(const std::string& what, const std::string& name) {
  return fmt::format(
      "{} has '{}' put aside: something was damaged, or changed by something other than this "
      "program.",
      what, name);
}

// What was put aside in a folder when it was brought in order.
void CheckPutAside(const std::string& folder, const std::string& what, bool is_evidence, FileSystem& files,
                   SealCheck& check) {
  const auto names = files.List(folder);
  if (!names.ok()) return;
  for (const std::string& name : *names)
    if (IsPutAside(name)) (is_evidence ? check.wrong : check.notes).push_back(FoundBy(what, name));
}

// What became of the case's own history, which keeps the seals.
void CheckCaseHistory(const std::string& case_folder, const std::vector<Sealed>& all, FileSystem& files,
                      SealCheck& check) {
  const bool is_evidence =
      std::any_of(all.begin(), all.end(), [](const Sealed& sealed) { return IsEvidence(sealed.review); });
  CheckPutAside(case_folder, "The case", is_evidence, files, check);
  Document document(files, DocumentKind::kCase, case_folder);
  if (!document.Load(true).ok() || document.recovered_from().empty()) return;
  (is_evidence ? check.wrong : check.notes)
      .push_back(fmt::format("The history of the case was lost: it was recovered from a {}.",
                             document.recovered_from()));
}

std::optional<Sealed> ReadSealed(FileSystem& files, const std::string& folder,
                                 const std::vector<VouchedScrub>& scrubs) {
  Document document(files, DocumentKind::kReview, folder);
  if (!document.Load(true).ok()) return std::nullopt;  // told by whoever opens it
  Sealed sealed;
  sealed.review = document.state().review;
  sealed.recovered_from = document.recovered_from();
  if (const auto bytes = files.ReadAll(folder + "/journal", kMostJournalBytes); bytes.ok())
    ReadSealing(ReadJournal(*bytes), sealed);
  ReadVouched(scrubs, sealed);
  return sealed;
}

void CheckOne(const Sealed& sealed, const SignedReview* kept, SealCheck& check) {
  const std::string& id = sealed.review.id.value;
  if (!sealed.recovered_from.empty())
    (IsEvidence(sealed.review) ? check.wrong : check.notes)
        .push_back(fmt::format("The history of review '{}' was lost: it was recovered from a {}.", id,
                               sealed.recovered_from));
  if (!sealed.review.is_signed) {
    if (kept)
      check.wrong.push_back(
          fmt::format("Review '{}' was signed, and its journal does not say so any more.", id));
    return;
  }
  if (sealed.changed_since)
    check.wrong.push_back(fmt::format("Review '{}' was changed after it was signed.", id));
  if (!kept)
    check.notes.push_back(
        fmt::format("Review '{}' is signed, and the case keeps its seal from when it is opened next.", id));
  else if (!sealed.HasSeal(kept->seal))
    check.wrong.push_back(fmt::format(
        "Review '{}' is not the one that was signed: its seal is not the one that the case keeps.", id));
  else if (!sealed.IsVouched(kept->seal))
    check.notes.push_back(fmt::format(
        "Review '{}' was scrubbed after signing; nothing in the case's journal vouches for it.", id));
  else if (kept->seal != sealed.head)
    check.notes.push_back(
        fmt::format("Review '{}' was scrubbed after signing, as the case's journal says.", id));
}

// A later version names the seal of the one it was made from.
void CheckVersion(const Sealed& later, const std::vector<Sealed>& all, SealCheck& check) {
  if (later.review.version_of.empty()) return;
  const auto before = std::find_if(all.begin(), all.end(), [&](const Sealed& other) {
    const ReviewId& first = other.review.version_of.empty() ? other.review.id : other.review.version_of;
    return first == later.review.version_of && other.review.version == later.review.version - 1;
  });
  if (before != all.end() && before->HasSeal(later.review.earlier_seal)) return;
  check.wrong.push_back(
      fmt::format("The version before review '{}' is not there, or is not the one that it was made from.",
                  later.review.id.value));
}

}  // namespace

SealCheck CheckSeals(const std::string& case_folder, const CaseRecord& record, FileSystem& files) {
  SealCheck check;
  std::vector<VouchedScrub> scrubs;
  if (const auto bytes = files.ReadAll(case_folder + "/journal", kMostJournalBytes); bytes.ok())
    scrubs = VouchedScrubs(ReadJournal(*bytes));
  std::vector<Sealed> all;
  const std::vector<ReviewId> there = ListReviews(files, case_folder);
  for (const ReviewId& id : there)
    if (auto sealed = ReadSealed(files, ReviewFolder(case_folder, id), scrubs))
      all.push_back(std::move(*sealed));
  CheckCaseHistory(case_folder, all, files, check);
  for (const Sealed& sealed : all) {
    const ReviewId& id = sealed.review.id;
    CheckPutAside(ReviewFolder(case_folder, id), fmt::format("Review '{}'", id.value),
                  IsEvidence(sealed.review), files, check);
    CheckOne(sealed, FindSigned(record, sealed.review.id), check);
    CheckVersion(sealed, all, check);
  }
  for (const SignedReview& kept : record.signed_reviews)
    if (std::find(there.begin(), there.end(), kept.id) == there.end())
      check.wrong.push_back(fmt::format("Review '{}' was signed and is not there any more.", kept.id.value));
  return check;
}

}  // namespace afterscope
