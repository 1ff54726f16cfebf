// SPDX-License-Identifier: Apache-2.0
#include "tests/metrics/eye/real_frames_support.hpp"

#include "tests/support/places.hpp"
#include "tests/support/png_file.hpp"

#include <catch2/catch.hpp>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>

namespace afterscope::testing {
namespace {

std::filesystem::path Folder() {
  if (const char* named = std::getenv("AFTERSCOPE_REAL_FRAMES")) return named;
  return std::filesystem::path(places::kTestData).parent_path().parent_path().parent_path() / "shared" /
         "real_frames";
}

std::vector<std::string> Cells(const std::string& line) {
  std::vector<std::string> cells;
  std::stringstream in(line);
  for (std::string cell; std::getline(in, cell, '\t');) cells.push_back(cell);
  cells.resize(std::max<std::size_t>(cells.size(), 11));
  return cells;
}

RealFrame& FrameOf(std::vector<RealFrame>& frames, const std::filesystem::path& folder,
                   const std::string& file) {
  for (RealFrame& frame : frames)
    if (frame.file == file) return frame;
  RealFrame frame;
  frame.file = file;
  frame.picture = ReadPngFile((folder / "frames" / file).string());
  frame.mask = ReadPngFile((folder / "instrument_masks" / file).string(), true);
  frames.push_back(frame);
  return frames.back();
}

}  // namespace

std::vector<RealFrame> RealFrames() {
  const std::filesystem::path folder = Folder();
  std::vector<RealFrame> frames;
  std::ifstream in(folder / "outlines.tsv");
  std::string line;
  std::getline(in, line);  // file width height kind cx cy a b angle_deg visible note
  while (std::getline(in, line)) {
    const std::vector<std::string> cells = Cells(line);
    RealFrame& frame = FrameOf(frames, folder, cells[0]);
    const PointPx at{std::stod(cells[4]), std::stod(cells[5])};
    if (cells[3] == "tip") {
      frame.tips.push_back(at);
      continue;
    }
    EyeEllipse& ellipse = cells[3] == "limbus" ? frame.limbus : frame.pupil;
    ellipse = {at, std::stod(cells[6]), std::stod(cells[7]), Angle::Degrees(std::stod(cells[8]))};
  }
  if (frames.empty())
    WARN("skipped: no real frames in " << folder.string() << " (AFTERSCOPE_REAL_FRAMES names another)");
  return frames;
}

}  // namespace afterscope::testing
