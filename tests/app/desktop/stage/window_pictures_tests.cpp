// SPDX-License-Identifier: Apache-2.0
// The window's main states against approved pictures; drawn without a display.
#include "annotate/jobs/phantom/ideal_reviewer.hpp"
#include "tests/app/desktop/stage/approved_support.hpp"
#include "tests/app/desktop/stage/invented_case_support.hpp"
#include "tests/app/desktop/stage/stage_support.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cstdlib>

namespace afterscope {
namespace {

constexpr int kWidth = 1280;
constexpr int kHeight = 720;

RgbImage Even(int width, int height, std::uint8_t grey) {
  return {width, height, std::vector<std::uint8_t>(static_cast<std::size_t>(width * height * 3), grey)};
}

void FillSquare(RgbImage& image, int left, int top, int side, std::uint8_t grey) {
  for (int y = top; y < top + side; ++y)
    for (int x = left; x < left + side; ++x)
      for (int c = 0; c < 3; ++c)
        image.pixels[static_cast<std::size_t>((y * image.width + x) * 3 + c)] = grey;
}

FrameRef FrameOfMark(const Review& review, const MarkId& id) {
  const auto found =
      std::find_if(review.marks.begin(), review.marks.end(), [&](const Mark& mark) { return mark.id == id; });
  return found == review.marks.end() ? FrameRef{} : found->at;
}

// Settles and compares; with AFTERSCOPE_LOOK=FOLDER the whole picture is left there too, to be looked at.
void CheckScreen(Stage& stage, const std::string& name) {
  INFO(name);
  CHECK(stage.Settle());
  const RgbImage shown = stage.Read();
  if (const char* look = std::getenv("AFTERSCOPE_LOOK"))
    WritePngFile(shown, std::string(look) + "/" + name + ".png");
  CHECK(DifferenceFromApproved(shown, name) == "");
}

}  // namespace

TEST_CASE("Pictures that differ are told apart, those a pixel aside are not", "[approved]") {
  RgbImage a = Even(100, 80, 30);
  RgbImage b = a;
  const PictureTolerance tolerance;
  CHECK(ShareOfDifferences(a, b, tolerance) == 0);
  FillSquare(a, 20, 20, 10, 230);
  CHECK(ShareOfDifferences(a, b, tolerance) > tolerance.share);
  CHECK(ShareOfDifferences(b, a, tolerance) > tolerance.share);
  FillSquare(b, 21, 20, 10, 230);
  CHECK(ShareOfDifferences(a, b, tolerance) == 0);
  CHECK(ShareOfDifferences(a, Even(50, 80, 30), tolerance) == 1);
  CHECK(ShareOfDifferences(RgbImage{}, RgbImage{}, tolerance) == 1);
}

TEST_CASE("The window's main states look as approved", "[window]") {
  const TemporaryFolder folder;
  const auto cases = MakeInventedCases(folder.path());
  REQUIRE(cases.size() == 2);
  auto stage = Stage::Make(kWidth, kHeight);
  REQUIRE(stage);
  CheckScreen(*stage, "empty");
  stage->Open({cases[1]});
  CheckScreen(*stage, "steps");
  // The frame on which the completed rhexis was marked.
  stage->app().ShowFrame(FrameOfMark(stage->app().view().review, marked::kRhexis));
  stage->Press("F3");
  CheckScreen(*stage, "marks");
  stage->Press("F4");
  CheckScreen(*stage, "findings");
  stage->Press("Ctrl+L");
  CheckScreen(*stage, "findings_light");
  stage->Press("Ctrl+L");
  stage->Press("F2");
  stage->Press("Alt+P");
  stage->Press("Alt+L");
  stage->Press("Alt+B");
  stage->Press("Alt+M");
  stage->MovePointer(330, 240);
  CheckScreen(*stage, "clarity_magnifier");
  for (const char* key : {"Alt+0", "Alt+M", "Alt+P"}) stage->Press(key);
  stage->MovePointer(-1000, -1000);
  stage->Press("F5");
  stage->Press("Space");
  stage->Press("Tab");
  stage->Press("Space");
  CheckScreen(*stage, "debrief");
  stage->Press("Escape");
  stage->Press("Ctrl+K");
  CheckScreen(*stage, "compare_with");
  stage->Press("Enter");
  CHECK(stage->DrawUntil([&] { return stage->app().compared().open(); }));
  stage->Press("Space");
  stage->Press("Home");
  CheckScreen(*stage, "compare");
}

}  // namespace afterscope
