// SPDX-License-Identifier: Apache-2.0
#include "tests/annotate/report/report_support.hpp"

#include "tests/support/places.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <numbers>
#include <stdexcept>
#include <tuple>

namespace afterscope {

namespace {

constexpr double kRecordingSeconds = 1200;

RecordingRef InventedRecording(const std::string& path) {
  RecordingRef ref;
  ref.path = path;
  ref.fingerprint = {123456789, std::string(64, 'a'), ""};
  ref.shape.time_base = {1, kInventedTicksPerSecond};
  ref.shape.end = {static_cast<std::int64_t>(kRecordingSeconds * kInventedTicksPerSecond)};
  ref.shape.width = 640;
  ref.shape.height = 480;
  return ref;
}

void AddVisit(InventedCase& made, const std::string& step, double from, double to, bool taken_over = false) {
  StepVisit visit;
  visit.id = {fmt::format("v{}", made.review.visits.size() + 1)};
  visit.step = step;
  visit.start = InventedFrame(from);
  visit.end = InventedFrame(to);
  visit.taken_over = taken_over;
  if (taken_over) visit.operator_code = "S1";
  made.review.visits.push_back(visit);
}

Finding StepFinding(const std::string& name, const std::string& step, const std::optional<std::string>& who,
                    const std::string& unit, double value, double half) {
  Finding finding = InventedFinding(name, unit, value, half);
  finding.step = step;
  finding.operator_code = who;
  return finding;
}

// Time findings in the form that the measurement gives.
void AddTimes(InventedCase& made) {
  std::map<std::string, std::array<double, 3>> by_step;  // own, all, longest own
  std::map<std::string, double> by_operator;
  int take_overs = 0;
  bool before = false;
  for (const StepVisit& visit : made.review.visits) {
    const double length =
        static_cast<double>(visit.end->pts.ticks - visit.start.pts.ticks) / kInventedTicksPerSecond;
    auto& sums = by_step[visit.step];
    sums[1] += length;
    if (!visit.taken_over) sums[0] += length, sums[2] = std::max(sums[2], length);
    by_operator[visit.taken_over ? "S1" : "T7"] += length;
    if (visit.taken_over && !before) ++take_overs;
    before = visit.taken_over;
  }
  for (const auto& [step, sums] : by_step) {
    made.findings.push_back(StepFinding("time.step_total", step, std::nullopt, "s", sums[1], 0.04));
    if (sums[0] > 0) {
      made.findings.push_back(StepFinding("time.step_total", step, "T7", "s", sums[0], 0.04));
      made.findings.push_back(StepFinding("time.step_longest", step, "T7", "s", sums[2], 0.04));
    }
  }
  for (const auto& [who, seconds] : by_operator) {
    made.findings.push_back(InventedFinding("time.operator_total", "s", seconds, 0.1));
    made.findings.back().operator_code = who;
  }
  made.findings.push_back(InventedFinding("time.take_overs", "count", take_overs, 0));
  const double whole = static_cast<double>(made.review.visits.back().end->pts.ticks -
                                           made.review.visits.front().start.pts.ticks) /
                       kInventedTicksPerSecond;
  made.findings.push_back(InventedFinding("time.whole", "s", whole, 0.04));
}

Mark Round(const std::string& id, MarkKind kind, double at, PointPx centre, double radius_x, double radius_y,
           int count) {
  Mark mark{{id}, InventedFrame(at), kind, {}, "", {}};
  for (int i = 0; i < count; ++i) {
    const double angle = 2 * std::numbers::pi * i / count;
    mark.points.push_back({centre.x + radius_x * std::cos(angle), centre.y + radius_y * std::sin(angle)});
  }
  return mark;
}

InventedCase Bare() {
  InventedCase made;
  made.record.code = "C-0042";
  made.record.operator_code = "T7";
  made.record.recordings = {InventedRecording("case42_part1.mp4")};
  made.review.id = {"r1"};
  made.steps.id = "phaco";
  made.steps.name = "Phacoemulsification";
  const std::array<std::pair<const char*, const char*>, 17> names{
      {{"side_port", "Side port"},
       {"viscoelastic", "Viscoelastic"},
       {"main_incision", "Main incision"},
       {"rhexis", "Rhexis"},
       {"hydrodissection", "Hydrodissection and rotation"},
       {"division", "Nucleus division"},
       {"fragments", "Fragment removal"},
       {"epinucleus", "Epinucleus"},
       {"cortex", "Cortex"},
       {"polishing", "Polishing"},
       {"refill", "Bag refill"},
       {"lens", "Lens"},
       {"positioning", "Positioning"},
       {"visco_removal", "Viscoelastic removal"},
       {"hydration", "Hydration and leak check"},
       {"antibiotic", "Antibiotic"},
       {"stain", "Stain"}}};
  for (const auto& [key, name] : names)
    made.steps.steps.push_back({key, name, "", std::string(key) == "stain"});
  made.steps.checks = {{"rhexis_complete", "Rhexis complete", ""},
                       {"nucleus_rotates", "Nucleus rotates", ""},
                       {"capsule_intact", "Capsule intact", ""},
                       {"lens_in_bag", "Lens in the bag", ""},
                       {"wound_tight", "Wound tight", ""}};
  return made;
}

void AddRhexisFindings(InventedCase& made) {
  const auto add = [&](Finding finding) {
    finding.marks = {{"m3"}};
    finding.frames = {InventedFrame(213.4)};
    finding.scale = ScaleId{"s1"};
    made.findings.push_back(std::move(finding));
  };
  add(InventedFinding("rhexis.diameter_largest", "mm", 5.31, 0.19));
  add(InventedFinding("rhexis.diameter_smallest", "mm", 4.92, 0.18));
  add(InventedFinding("rhexis.off_pupil", "mm", 0.21, 0.09));
  add(InventedFinding("rhexis.circularity", "1", 0.962, 0.011));
  add(InventedFinding("rhexis.overlap_least", "mm", 0.12, 0.16));
  Finding none = InventedFinding("rhexis.plan_difference", "mm", 0, 0);
  none.measured =
      NotMeasured("mm", "Equivalent diameter minus the planned one.", "No planned diameter is stated.");
  add(std::move(none));
  for (int hour = 1; hour <= 12; ++hour)
    add(InventedFinding(fmt::format("rhexis.overlap_clock_{}", hour), "mm",
                        0.35 + 0.45 * std::cos(2 * std::numbers::pi * (hour - 4) / 12), 0.14));
}

void AddMarks(InventedCase& made) {
  made.review.marks = {Round("m1", MarkKind::kLimbus, 213.4, {320, 240}, 200, 192, 12),
                       Round("m2", MarkKind::kPupil, 213.4, {322, 238}, 138, 134, 10),
                       Round("m3", MarkKind::kRhexis, 213.4, {328, 236}, 92, 86, 12),
                       Round("m4", MarkKind::kLensEdge, 213.4, {316, 241}, 105, 105, 8)};
  made.review.marks.push_back(
      {{"m5"}, InventedFrame(213.4), MarkKind::kIncision, {{130, 190}, {148, 150}}, "", {}});
  made.review.scales = {
      {{"s1"}, ScaleSource::kLimbus, {"m1"}, Plane::kCornea, std::nullopt, std::nullopt, std::nullopt}};
  Trail trail{{"t1"}, "forceps", "main", {}, {}};
  for (int i = 0; i < 80; ++i) {
    const double angle = 2 * std::numbers::pi * i / 70;
    trail.points.push_back(
        {InventedFrame(180 + 0.4 * i),
         {320 + (80 + 12 * std::sin(5 * angle)) * std::cos(angle), 240 + 78 * std::sin(angle)},
         TrailSource::kHand,
         1});
  }
  made.review.trails = {trail};
  for (const auto& [name, unit, value, half] :
       {std::tuple{"path.length", "mm", 41.2, 2.9}, std::tuple{"path.movements", "count", 23.0, 4.0},
        std::tuple{"path.speed_mean", "mm/s", 1.31, 0.12}}) {
    Finding finding = InventedFinding(name, unit, value, half);
    finding.trail = TrailId{"t1"};
    finding.frames = {InventedFrame(180), InventedFrame(211.6)};
    made.findings.push_back(finding);
  }
}

void AddMoments(InventedCase& made) {
  made.review.moments = {
      {{"n1"},
       InventedFrame(60),
       MomentKind::kSettings,
       "sculpt",
       "",
       {{"power_pct", "60"}, {"vacuum_mmhg", "80"}}},
      {{"n2"},
       InventedFrame(196),
       MomentKind::kTeachingPoint,
       "",
       "The flap is let go too late here; grasp again nearer to the tearing edge.",
       {}},
      {{"n3"},
       InventedFrame(402),
       MomentKind::kComplication,
       "iris_prolapse",
       "Iris comes to the main incision after hydrodissection.",
       {{"action", "pressure lowered"}, {"step_arisen", "hydrodissection"}}},
      {{"n4"},
       InventedFrame(520),
       MomentKind::kSettings,
       "fragments",
       "",
       {{"power_pct", "70"}, {"vacuum_mmhg", "420"}}},
      {{"n5"},
       InventedFrame(640),
       MomentKind::kRemark,
       "",
       "দ্বিতীয় যন্ত্রটি ভালোভাবে ধরা হয়েছে।\nالقرنية صافية في نهاية العملية.\nCafé, naïve, Łódź.",
       {}}};
  made.review.checks = {{"rhexis_complete", CheckState::kSeenDone},
                        {"nucleus_rotates", CheckState::kSeenNotDone},
                        {"wound_tight", CheckState::kNotVisible}};
}

}  // namespace

FrameRef InventedFrame(double seconds, int recording) {
  return {recording, {static_cast<std::int64_t>(std::llround(seconds * kInventedTicksPerSecond))}};
}

Finding InventedFinding(const std::string& name, const std::string& unit, double value, double half_width) {
  Finding finding;
  finding.name = name;
  finding.measured = {Estimate{value, value - half_width, value + half_width, 0.95}, unit, "Invented.", {}};
  return finding;
}

InventedCase ThreeSteps() {
  InventedCase made = Bare();
  AddVisit(made, "side_port", 10, 24);
  AddVisit(made, "rhexis", 40, 131);
  AddVisit(made, "lens", 300, 345.5);
  AddTimes(made);
  return made;
}

// A pupil that narrows from 7 to 5 mm and an eye that drifts, followed but for two gaps.
EyeOverTime InventedEye() {
  EyeOverTime eye;
  eye.pupil.unit = eye.off_centre.unit = "mm";
  eye.pupil.own_error = 0.15, eye.pupil.scale_error = 0.08;
  eye.off_centre.own_error = 0.05, eye.off_centre.scale_error = 0.08;
  eye.off_centre.limit = 2.9;
  for (const auto& [from, to] : {std::pair{10.0, 300.0}, std::pair{332.0, 700.0}, std::pair{712.0, 1100.0}}) {
    std::vector<TimedValue> pupil, off;
    for (double at = from; at < to; at += 0.2) {
      pupil.push_back({at, 7 - at / 550 + 0.08 * std::sin(41 * at)});
      off.push_back({at, 1 + 0.8 * std::sin(at / 40) + 0.1 * std::sin(7 * at)});
    }
    eye.pupil.runs.push_back(std::move(pupil));
    eye.off_centre.runs.push_back(std::move(off));
  }
  return eye;
}

InventedCase FullCase() {
  InventedCase made = Bare();
  made.record.date = "2026-03-14";
  made.eye_over_time = InventedEye();
  made.record.eye = Eye::kRight;
  made.record.operation = "Phacoemulsification with lens";
  made.record.operator_role = "trainee, second year";
  made.record.supervision_level = "supervisor scrubbed";
  made.record.difficulty = {"small_pupil", "brunescent cataract"};
  made.record.seat_clock_hour = 12;
  made.review.reviewer_code = "M2";
  made.review.assessment = {"I felt sure until the nucleus would not turn; then I hurried.",
                            {"Calm, round start of the tear with few grasps.",
                             "Kept the eye in the centre of the picture throughout."},
                            "Let the flap go and grasp again every three clock hours.",
                            "Ten tears in the model eye, flap re-grasped at 3, 6 and 9 o’clock",
                            "2026-04-02"};
  AddVisit(made, "side_port", 12, 26);
  AddVisit(made, "viscoelastic", 26, 40);
  AddVisit(made, "main_incision", 44, 61);
  AddVisit(made, "rhexis", 80, 214);
  AddVisit(made, "viscoelastic", 216, 224);
  AddVisit(made, "hydrodissection", 226, 300);
  AddVisit(made, "division", 330, 512);
  AddVisit(made, "fragments", 512, 560);
  AddVisit(made, "fragments", 560, 655, true);
  AddVisit(made, "cortex", 660, 760, true);
  AddVisit(made, "cortex", 760, 811);
  AddVisit(made, "refill", 812, 826);
  AddVisit(made, "lens", 826, 880);
  AddVisit(made, "visco_removal", 885, 940);
  AddVisit(made, "hydration", 945, 978);
  AddVisit(made, "antibiotic", 980, 986);
  AddTimes(made);
  AddMarks(made);
  AddRhexisFindings(made);
  AddMoments(made);
  for (int i = 1; i <= 5; ++i) {
    EarlierCase earlier{fmt::format("C-00{}", 30 + i), fmt::format("2026-02-{:02}", i), {}};
    for (const Finding& finding : made.findings)
      if (finding.name == "time.step_total" && finding.operator_code == "T7") {
        Finding past = finding;
        past.measured.estimate->value *= 0.8 + 0.13 * i;
        earlier.findings.push_back(past);
      }
    made.earlier.push_back(earlier);
  }
  return made;
}

InventedCase ManyVisits(int visits) {
  InventedCase made = FullCase();
  made.review.visits.clear();
  made.findings.clear();
  made.record.code =
      "Case with an unusually long code that somebody typed as a whole sentence, 2026-03-14, second of the "
      "list";
  for (StepKind& step : made.steps.steps)
    if (step.key.size() > 8) step.name += " as the department calls it in its own long words";
  double at = 3;
  for (int i = 0; i < visits; ++i) {
    const double length = 4 + 17.0 * ((i * 7) % 5) / 5;
    AddVisit(made, made.steps.steps[static_cast<std::size_t>(i * 5 % 17)].key, at, at + length, i % 11 == 3);
    at += length + (i % 4 == 0 ? 2 : 0);
  }
  AddTimes(made);
  AddRhexisFindings(made);
  return made;
}

ReportWords ShippedWords() {
  auto words = LoadReportWords(std::string(places::kAssets) + "/reports/words.json");
  if (!words.ok()) throw std::runtime_error(words.error().message);
  return *words;
}

Picture GreyPicture(FrameRef frame) {
  constexpr int kWidth = 640, kHeight = 480;
  auto pixels = std::make_shared<std::vector<std::uint8_t>>(kWidth * kHeight, 120);
  Picture picture;
  picture.width = kWidth;
  picture.height = kHeight;
  picture.format = PixelFormat::kGray8;
  picture.frame = frame;
  picture.planes[0] = {pixels->data(), kWidth, kWidth, kHeight};
  picture.owner = pixels;
  return picture;
}

ReportModel ModelOf(const InventedCase& made, bool pictures) {
  ReportInput input{
      made.record, made.review, made.steps, made.findings, made.earlier, ShippedWords(), {}, {}, "0.0.0",
      "",          {},          60};
  input.eye_over_time = made.eye_over_time;
  if (pictures) input.frames = [](FrameRef frame) -> Result<Picture> { return GreyPicture(frame); };
  auto model = BuildReport(input, {}, {});
  if (!model.ok()) throw std::runtime_error(model.error().message);
  return std::move(*model);
}

}  // namespace afterscope
