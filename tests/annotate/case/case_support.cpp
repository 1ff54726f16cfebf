// SPDX-License-Identifier: Apache-2.0
#include "tests/annotate/case/case_support.hpp"

#include <fmt/format.h>

#include <string>

namespace afterscope {
namespace {

int Pick(std::mt19937& random, int count) { return std::uniform_int_distribution<int>(0, count - 1)(random); }

FrameRef RandomFrame(std::mt19937& random) {
  return Pick(random, 3) > 0 ? At(Pick(random, 60000)) : At(Pick(random, 30000), 1);
}

PointPx RandomPoint(std::mt19937& random) {
  std::uniform_real_distribution<double> place(-10, 700);
  return {place(random), place(random)};
}

template <class ItemId>
ItemId RandomId(std::mt19937& random, const char* letter) {
  return {fmt::format("{}{}", letter, Pick(random, 8))};
}

std::string RandomText(std::mt19937& random) {
  const char* const texts[] = {"", "wound tight", "é ü ß", "রেক্সিস", "\"quoted\" \\ and\nlines\t", "عدسة"};
  return texts[Pick(random, 6)];
}

StepVisit RandomVisit(std::mt19937& random) {
  const char* const steps[] = {"rhexis", "lens", "cortex"};
  StepVisit visit{RandomId<VisitId>(random, "v"),
                  steps[Pick(random, 3)],
                  Pick(random, 2),
                  RandomFrame(random),
                  {},
                  "",
                  Pick(random, 4) == 0};
  if (Pick(random, 3) > 0) visit.end = visit.start, visit.end->pts.ticks += 1 + Pick(random, 3000);
  return visit;
}

Mark RandomMark(std::mt19937& random) {
  Mark mark{
      RandomId<MarkId>(random, "m"), RandomFrame(random), MarkKind::kRhexis, {}, RandomText(random), {}};
  for (int i = Pick(random, 9); i >= 0; --i) mark.points.push_back(RandomPoint(random));
  if (Pick(random, 2) > 0) mark.fields["stage"] = "completion";
  return mark;
}

std::vector<TrailPoint> RandomTrailPoints(std::mt19937& random) {
  std::vector<TrailPoint> points;
  for (int i = Pick(random, 6); i >= 0; --i) {
    points.push_back({At(Pick(random, 20) * 40), RandomPoint(random), TrailSource::kFollowed, 0.25});
    if (i % 2 > 0) points.back().shaft = points.back().tip + OffsetPx{30, -7};
  }
  return points;
}

Edit RandomEdit(std::mt19937& random) {
  switch (Pick(random, 20)) {
    case 0:
    case 1:
      return Put<StepVisit>{RandomVisit(random)};
    case 2:
      return Remove<VisitId>{RandomId<VisitId>(random, "v")};
    case 3:
      return Put<Moment>{{RandomId<MomentId>(random, "o"),
                          RandomFrame(random),
                          MomentKind::kSettings,
                          "sculpt",
                          RandomText(random),
                          {{"vacuum_mmhg", "80"}}}};
    case 4:
      return Remove<MomentId>{RandomId<MomentId>(random, "o")};
    case 5:
      return Put<Mark>{RandomMark(random)};
    case 6:
      return Remove<MarkId>{RandomId<MarkId>(random, "m")};
    case 7:
      return Put<Trail>{{RandomId<TrailId>(random, "t"), "forceps", "main", {}, {}}};
    case 8:
      return Remove<TrailId>{RandomId<TrailId>(random, "t")};
    case 9:
    case 10:
      return SetTrailPoints{
          RandomId<TrailId>(random, "t"), RandomTrailPoints(random), {At(Pick(random, 20) * 40)}};
    case 11:
      return Put<ScaleDef>{{RandomId<ScaleId>(random, "s"),
                            ScaleSource::kObject,
                            RandomId<MarkId>(random, "m"),
                            Plane::kLens,
                            6.0,
                            {},
                            {}}};
    case 12:
      return SetCheck{"rhexis_complete", static_cast<CheckState>(Pick(random, 4))};
    case 13:
      return SetAssessment{{RandomText(random), {RandomText(random)}, "", "", ""}};
    case 14: {
      const char* const fields[] = {"extra.Experience", "difficulty", "eye", "consent.review",
                                    "optic_diameter_mm"};
      const char* const texts[] = {"", "2", "right", "given until 2027-01-31", "6.0"};
      return SetCaseField{fields[Pick(random, 5)], texts[Pick(random, 5)]};
    }
    case 15:
      return SetSignature{Pick(random, 2) > 0 ? std::optional(Signature{"m1", "2026-11-26T00:00:00Z", 3})
                                              : std::nullopt};
    case 16:
      return Put<SignedReview>{{RandomId<ReviewId>(random, "r"),
                                "seal",
                                Recognition::kPerhaps,
                                {{"t1", "2026-11-26", RandomText(random)}}}};
    case 17:
      return Put<Score>{{{"sheet", Pick(random, 2) > 0 ? "flow" : "wound"},
                         Pick(random, 3) > 0 ? std::optional(Pick(random, 5) + 0.5) : std::nullopt,
                         RandomText(random),
                         {RandomId<MomentId>(random, "o")}}};
    case 18:
      return Remove<ScoreId>{{"sheet", "flow"}};
    default:
      return SetReviewField{"kind", Pick(random, 2) > 0 ? "formal" : "formative"};
  }
}

}  // namespace

CaseRecord TwoRecordings() {
  CaseRecord record;
  record.operator_code = "t1";
  record.supervisor_code = "s1";
  record.recordings = {{"", {}, {{1, 1000}, Pts{0}, Pts{60000}, 640, 480, {1, 1}, 0, true}},
                       {"", {}, {{1, 1000}, Pts{0}, Pts{30000}, 640, 480, {1, 1}, 0, true}}};
  return record;
}

EditGroup RandomGroup(std::mt19937& random) {
  EditGroup group{"Random", {}};
  for (int i = Pick(random, 3); i >= 0; --i) group.edits.push_back(RandomEdit(random));
  return group;
}

}  // namespace afterscope
