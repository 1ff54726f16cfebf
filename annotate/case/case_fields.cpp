// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/case_fields.hpp"

#include "annotate/case/text.hpp"
#include "annotate/case/words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <string_view>
#include <utility>

namespace afterscope {
namespace {

struct Field {
  std::string name;
  std::function<std::string(const CaseRecord&)> get;
  std::function<bool(CaseRecord&, const std::string&)> set;  // false: no value of this field
  std::string wants;                                         // what it wants instead
};

Field TextField(std::string name, std::string CaseRecord::*member) {
  return {std::move(name), [member](const CaseRecord& r) { return r.*member; },
          [member](CaseRecord& r, const std::string& text) {
            r.*member = text;
            return true;
          },
          "a text"};
}

// low and high are bounds of any sense, not of what is usual.
Field NumberField(std::string name, std::optional<double> CaseRecord::*member, double low, double high) {
  return {std::move(name),
          [member](const CaseRecord& r) { return r.*member ? TextFrom(*(r.*member)) : std::string(); },
          [=](CaseRecord& r, const std::string& text) {
            if (text.empty()) {
              r.*member = std::nullopt;
              return true;
            }
            const auto number = NumberFrom(text);
            if (!number || *number <= low || *number > high) return false;
            r.*member = number;
            return true;
          },
          fmt::format("a number above {} and up to {}", low, high)};
}

Field FlagField(std::string name, bool CaseRecord::*member) {
  return {std::move(name), [member](const CaseRecord& r) { return std::string(r.*member ? "yes" : ""); },
          [member](CaseRecord& r, const std::string& text) {
            r.*member = text == "yes";
            return text.empty() || text == "yes" || text == "no";
          },
          "'yes' or 'no'"};
}

Field DateField() {
  return {"date", [](const CaseRecord& r) { return r.date; },
          [](CaseRecord& r, const std::string& text) {
            r.date = text;
            return text.empty() || IsDate(text);
          },
          "a date as YYYY-MM-DD"};
}

Field EyeField() {
  return {"eye",
          [](const CaseRecord& r) {
            return std::string(r.eye == Eye::kRight ? "right" : r.eye == Eye::kLeft ? "left" : "");
          },
          [](CaseRecord& r, const std::string& text) {
            r.eye = text == "right" ? Eye::kRight : text == "left" ? Eye::kLeft : Eye::kUnknown;
            return r.eye != Eye::kUnknown || text.empty() || text == "unknown";
          },
          "'right' or 'left'"};
}

Field DifficultyField() {
  return {"difficulty", [](const CaseRecord& r) { return JoinText(r.difficulty, ";"); },
          [](CaseRecord& r, const std::string& text) {
            r.difficulty = SplitText(text, ';');
            return std::none_of(r.difficulty.begin(), r.difficulty.end(),
                                [](auto& part) { return part.empty(); });
          },
          "keys separated by ';'"};
}

Field RhexisKindField() {
  return {"planned_rhexis_kind",
          [](const CaseRecord& r) {
            return std::string(r.planned_rhexis_kind == DiameterKind::kAsSeen ? "as seen" : "true");
          },
          [](CaseRecord& r, const std::string& text) {
            r.planned_rhexis_kind = text == "as seen" ? DiameterKind::kAsSeen : DiameterKind::kTrue;
            return text.empty() || text == "true" || text == "as seen";
          },
          "'true' or 'as seen'"};
}

Field TurnedField() {
  return {"picture_turned_deg",
          [](const CaseRecord& r) {
            return r.picture_turned_deg == 0 ? std::string() : TextFrom(r.picture_turned_deg);
          },
          [](CaseRecord& r, const std::string& text) {
            const auto number = text.empty() ? 0.0 : NumberFrom(text);
            if (!number || *number < -360 || *number > 360) return false;
            r.picture_turned_deg = *number == 0 ? 0 : *number;  // no minus zero
            return true;
          },
          "degrees from -360 to 360"};
}

const std::vector<Field>& Fields() {
  static const std::vector<Field> fields = {
      TextField("code", &CaseRecord::code),
      DateField(),
      EyeField(),
      TextField("operation", &CaseRecord::operation),
      TextField("step_list", &CaseRecord::step_list),
      TextField("operator_code", &CaseRecord::operator_code),
      TextField("operator_role", &CaseRecord::operator_role),
      TextField("supervisor_code", &CaseRecord::supervisor_code),
      TextField("supervision_level", &CaseRecord::supervision_level),
      DifficultyField(),
      NumberField("planned_rhexis_mm", &CaseRecord::planned_rhexis_mm, 0, 20),
      RhexisKindField(),
      NumberField("optic_diameter_mm", &CaseRecord::optic_diameter_mm, 0, 20),
      NumberField("corneal_diameter_mm", &CaseRecord::corneal_diameter_mm, 0, 30),
      NumberField("corneal_power_d", &CaseRecord::corneal_power_d, 0, 100),
      NumberField("chamber_depth_mm", &CaseRecord::chamber_depth_mm, 0, 20),
      NumberField("seat_clock_hour", &CaseRecord::seat_clock_hour, 0, 12),
      FlagField("picture_mirrored", &CaseRecord::picture_mirrored),
      TurnedField(),
      FlagField("orientation_confirmed", &CaseRecord::orientation_confirmed),
  };
  return fields;
}

constexpr std::string_view kConsent = "consent.";
constexpr std::string_view kExtra = "extra.";

std::string TextFromConsent(const Consent& consent) {
  const std::string state = consent.withdrawn ? "withdrawn" : consent.given ? "given" : "not given";
  return consent.delete_by.empty() ? state : state + " until " + consent.delete_by;
}

std::optional<Consent> ConsentFrom(const std::string& purpose, std::string text) {
  Consent consent;
  consent.purpose = purpose;
  if (const auto until = text.find(" until "); until != std::string::npos) {
    consent.delete_by = text.substr(until + 7);
    text.resize(until);
    if (!IsDate(consent.delete_by)) return std::nullopt;
  }
  if (text != "given" && text != "not given" && text != "withdrawn") return std::nullopt;
  consent.given = text != "not given";
  consent.withdrawn = text == "withdrawn";
  return consent;
}

Status SetConsent(CaseRecord& record, const std::string& purpose, const std::string& text) {
  std::optional<Consent> consent = ConsentFrom(purpose, text);
  if (!text.empty() && !consent)
    return Error{
        ErrorCode::kBadCall,
        fmt::format("Can't set the consent '{}' to '{}': give 'given', 'not given' or 'withdrawn', and "
                    "' until YYYY-MM-DD' after it if wanted.",
                    purpose, text)};
  std::erase_if(record.consent, [&](const Consent& c) { return c.purpose == purpose; });
  if (text.empty()) return {};
  const auto after = std::find_if(record.consent.begin(), record.consent.end(),
                                  [&](const Consent& c) { return c.purpose > purpose; });
  record.consent.insert(after, *consent);
  return {};
}

// The NAME of "PREFIX.NAME"; empty if it has another form.
std::string NameAfter(std::string_view prefix, const std::string& field) {
  return field.starts_with(prefix) ? field.substr(prefix.size()) : std::string();
}

const Field* FindField(const std::string& name) {
  const auto found =
      std::find_if(Fields().begin(), Fields().end(), [&](const Field& f) { return f.name == name; });
  return found == Fields().end() ? nullptr : &*found;
}

Error UnknownField(const std::string& field) {
  return {ErrorCode::kBadCall,
          fmt::format("A case has no field '{}'; fields are {}, consent.PURPOSE and extra.NAME.", field,
                      JoinText(CaseFieldNames(), ", "))};
}

}  // namespace

const std::vector<std::string>& CaseFieldNames() {
  static const std::vector<std::string> names = [] {
    std::vector<std::string> all;
    for (const Field& field : Fields()) all.push_back(field.name);
    return all;
  }();
  return names;
}

Result<std::string> CaseFieldText(const CaseRecord& record, const std::string& field) {
  if (const Field* known = FindField(field)) return known->get(record);
  if (const std::string name = NameAfter(kExtra, field); !name.empty()) {
    const auto found = record.extra.find(name);
    return found == record.extra.end() ? std::string() : found->second;
  }
  if (const std::string purpose = NameAfter(kConsent, field); !purpose.empty()) {
    for (const Consent& consent : record.consent)
      if (consent.purpose == purpose) return TextFromConsent(consent);
    return std::string();
  }
  return UnknownField(field);
}

Status SetCaseFieldText(CaseRecord& record, const std::string& field, const std::string& text) {
  if (const Field* known = FindField(field)) {
    const CaseRecord before = record;
    if (known->set(record, text)) return {};
    record = before;
    return Error{ErrorCode::kBadCall,
                 fmt::format("Can't set '{}' to '{}': give {}.", field, text, known->wants)};
  }
  if (const std::string name = NameAfter(kExtra, field); !name.empty()) {
    if (text.empty())
      record.extra.erase(name);
    else
      record.extra[name] = text;
    return {};
  }
  if (const std::string purpose = NameAfter(kConsent, field); !purpose.empty())
    return SetConsent(record, purpose, text);
  return UnknownField(field);
}

const std::vector<std::string>& ReviewFieldNames() {
  static const std::vector<std::string> names{"reviewer_code", "kind", "self_review", "blinding"};
  return names;
}

Result<std::string> ReviewFieldText(const Review& review, const std::string& field) {
  if (field == "reviewer_code") return review.reviewer_code;
  if (field == "kind") return std::string(WordOf(review.kind));
  if (field == "self_review") return std::string(review.is_self ? "yes" : "no");
  if (field == "blinding") return std::string(WordOf(review.blinding));
  return Error{ErrorCode::kBadCall, fmt::format("A review has no field '{}'; fields are {}.", field,
                                                JoinText(ReviewFieldNames(), ", "))};
}

Status SetReviewFieldText(Review& review, const std::string& field, const std::string& text) {
  AFTERSCOPE_ASSIGN(const std::string before, ReviewFieldText(review, field));
  const auto refused = [&](const char* wanted) {
    return Error{ErrorCode::kBadCall, fmt::format("Can't set '{}' to '{}': give {}.", field, text, wanted)};
  };
  if (field == "reviewer_code") {
    review.reviewer_code = text;
    return {};
  }
  if (field == "blinding") {
    const auto blinding = text.empty() ? std::optional(Blinding::kOpen) : FromWord<Blinding>(text);
    if (!blinding) return refused("'open', 'blinded' or 'lifted'");
    review.blinding = *blinding;
    return {};
  }
  if (!review.version_of.empty() && text != before)
    return Error{ErrorCode::kBadCall,
                 fmt::format("Can't change '{}' of review '{}': a later version is of the same kind as the "
                             "first.",
                             field, review.id.value)};
  if (field == "kind") {
    const auto kind = text.empty() ? std::optional(ReviewKind::kFormative) : FromWord<ReviewKind>(text);
    if (!kind) return refused("'formative' or 'formal'");
    review.kind = *kind;
    return {};
  }
  if (!text.empty() && text != "yes" && text != "no") return refused("'yes' or 'no'");
  review.is_self = text == "yes";
  return {};
}

}  // namespace afterscope
