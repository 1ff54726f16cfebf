// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/picture/side_labels.hpp"

#include <catch2/catch.hpp>

#include <map>

namespace afterscope {
namespace {

const ShownPicture kPicture = ShownPicture::Of(400, 300, {1, 1}, 0);

CaseRecord CaseWith(Eye eye, std::optional<double> seat) {
  CaseRecord record;
  record.eye = eye;
  record.seat_clock_hour = seat;
  RecordingRef recording;
  recording.shape.width = 400;
  recording.shape.height = 300;
  record.recordings.push_back(recording);
  return record;
}

// Which side of the picture each word is at.
std::map<std::string, std::string> Sides(const CaseRecord& record) {
  std::map<std::string, std::string> sides;
  for (const SideLabel& label : SideLabels(record, 0, kPicture)) {
    const double x = label.at.x - 200;
    const double y = label.at.y - 150;
    if (std::abs(x) > 100) sides[label.word] = x < 0 ? "left" : "right";
    if (std::abs(y) > 100) sides[label.word] = y < 0 ? "top" : "bottom";
  }
  return sides;
}

}  // namespace

// Expected by anatomy alone: the ear of a right eye is at the left of who faces the patient, and what is
// nearest to the surgeon is at the bottom of what she sees.
TEST_CASE("A surgeon at the head sees the upper lid below and the ear of a right eye at the right",
          "[side_labels]") {
  const auto sides = Sides(CaseWith(Eye::kRight, 12));
  CHECK(sides == std::map<std::string, std::string>{
                     {"superior", "bottom"}, {"inferior", "top"}, {"temporal", "right"}, {"nasal", "left"}});
}

TEST_CASE("A surgeon at the head sees the ear of a left eye at the left", "[side_labels]") {
  const auto sides = Sides(CaseWith(Eye::kLeft, 12));
  CHECK(sides.at("temporal") == "left");
  CHECK(sides.at("nasal") == "right");
}

TEST_CASE("A surgeon at the ear of a right eye has it below and the upper lid at the left", "[side_labels]") {
  const auto sides = Sides(CaseWith(Eye::kRight, 9));
  CHECK(sides == std::map<std::string, std::string>{
                     {"superior", "left"}, {"inferior", "right"}, {"temporal", "bottom"}, {"nasal", "top"}});
}

TEST_CASE("A mirrored recording swaps left and right of what the surgeon saw", "[side_labels]") {
  CaseRecord record = CaseWith(Eye::kRight, 12);
  record.picture_mirrored = true;
  const auto sides = Sides(record);
  CHECK(sides.at("temporal") == "left");
  CHECK(sides.at("superior") == "bottom");
}

TEST_CASE("What is not known is not labelled", "[side_labels]") {
  CHECK(SideLabels(CaseWith(Eye::kRight, std::nullopt), 0, kPicture).empty());
  CHECK(Sides(CaseWith(Eye::kUnknown, 12)).size() == 2);
  CHECK(SideLabels(CaseWith(Eye::kRight, 12), 0, ShownPicture{}).empty());
}

}  // namespace afterscope
