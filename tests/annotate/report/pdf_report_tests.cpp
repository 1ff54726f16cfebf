// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/pdf/typesetter.hpp"
#include "annotate/report/pdf_report.hpp"
#include "tests/annotate/report/report_support.hpp"
#include "tests/support/run_program.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <fstream>
#include <sstream>

using namespace afterscope;

// What is checked is what Debian's poppler reads back from the file.

namespace {

struct Made {
  TemporaryFolder folder;
  PdfFile file;
  std::string path;
  std::string text;
};

std::unique_ptr<Made> Make(const ReportModel& model, Paper paper = Paper::kA4) {
  auto made = std::make_unique<Made>();
  auto file = MakePdf(model, {paper, "2026-03-15T12:00:00Z"});
  REQUIRE(file.ok());
  made->file = *file;
  made->path = made->folder / "report.pdf";
  std::ofstream(made->path, std::ios::binary) << made->file.bytes;
  made->text = OutputOf("pdftotext -layout '" + made->path + "' -");
  return made;
}

bool Has(const std::string& text, const std::string& words) { return text.find(words) != std::string::npos; }

}  // namespace

TEST_CASE("The text of the PDF is text, with limits, frames and four states of checks") {
  const auto made = Make(ModelOf(FullCase(), true));
  for (const char* words : {"C-0042",
                            "Phacoemulsification with lens",
                            "T7, trainee, second year",
                            "supervisor scrubbed",
                            "Calm, round start of the tear",
                            "Let the flap go",
                            "2026-04-02",
                            "5.31",
                            "5.12 to 5.50",
                            "tick 213400",
                            "Not computed: Equivalent diameter against plan",
                            "No planned diameter is stated",
                            "seen done",
                            "seen not done",
                            "not reviewed",
                            "not visible in this recording",
                            "What the machine was set to",
                            "iris prolapse",
                            "11.71 mm",
                            "never for decisions during one",
                            "Cautions",
                            "and leak check",
                            "Pupil and eye over time",
                            "the plane of the front capsule",
                            "half the limbus’ radius"})
    CHECK((Has(made->text, words) ? std::string(words) : "missing: " + std::string(words)) == words);
}

TEST_CASE("All fonts of the PDF are embedded") {
  const auto made = Make(ModelOf(FullCase(), true));
  std::istringstream lines(OutputOf("pdffonts '" + made->path + "'"));
  std::string line;
  std::getline(lines, line);
  const std::size_t column = line.find("emb");
  std::getline(lines, line);  // a rule
  int fonts = 0;
  while (std::getline(lines, line)) {
    ++fonts;
    CHECK(line.substr(column, 3) == "yes");
  }
  CHECK(fonts >= 4);
}

TEST_CASE("Bengali, Arabic and accented words have all their glyphs and can be found") {
  const auto made = Make(ModelOf(FullCase(), true));
  CHECK(made->file.missing_glyphs == 0);
  CHECK(Has(made->text, "Café, naïve, Łódź"));
  CHECK(Has(made->text, "দ্বিতীয়"));
  CHECK(Has(made->text, "القرنية"));
}

TEST_CASE("Characters without a glyph are counted and told of") {
  InventedCase made = ThreeSteps();
  made.review.assessment.change = "\U000E1000\U000E1001";  // unassigned: no font has them
  const auto pdf = Make(ModelOf(made));
  CHECK(pdf->file.missing_glyphs == 2);
  CHECK(Has(pdf->text, "2 characters could not be shown"));
}

TEST_CASE("Page size, page numbers and title, and no user's name") {
  for (const auto& [paper, size] : {std::pair{Paper::kA4, "595.276 x 841.89 pts (A4)"},
                                    std::pair{Paper::kLetter, "612 x 792 pts (letter)"}}) {
    const auto made = Make(ModelOf(FullCase(), true), paper);
    const std::string info = OutputOf("pdfinfo '" + made->path + "'");
    CHECK(Has(info, size));
    CHECK(Has(info, "Training report C-0042"));
    CHECK_FALSE(Has(info, "Author:"));
    for (int page = 1; page <= made->file.pages; ++page)
      CHECK(Has(made->text, "Page " + std::to_string(page) + " of " + std::to_string(made->file.pages)));
  }
}

TEST_CASE("Links lead to frames, bookmarks to sections") {
  const auto made = Make(ModelOf(FullCase(), true));
  const std::string places = OutputOf("pdfinfo -dests '" + made->path + "'");
  CHECK(Has(places, "frame-0-213400"));
  CHECK(Has(places, "section-steps"));
  CHECK(Has(places, "section-cautions"));
}

TEST_CASE("Any amount of text is set without being cut off") {
  InventedCase made = ManyVisits(60);
  std::string text;
  for (int i = 0; i < 3000; ++i) text += "word" + std::to_string(i) + " ";
  made.review.moments[1].text = text;
  made.review.assessment.own_view = std::string(4000, 'x') + "end";
  const auto pdf = Make(ModelOf(made, true));
  CHECK(pdf->file.pages > 6);
  for (const int i : {1000, 1499, 2222, 2999}) CHECK(Has(pdf->text, "word" + std::to_string(i)));
  // Every page's text lies within the page: poppler's boxes of words.
  const std::string boxes = OutputOf("pdftotext -bbox '" + pdf->path + "' -");
  std::istringstream lines(boxes);
  std::string line;
  double most_x = 0, most_y = 0;
  while (std::getline(lines, line)) {
    double x0 = 0, y0 = 0, x1 = 0, y1 = 0;
    if (std::sscanf(line.c_str(), " <word xMin=\"%lf\" yMin=\"%lf\" xMax=\"%lf\" yMax=\"%lf\"", &x0, &y0, &x1,
                    &y1) != 4)
      continue;
    most_x = std::max(most_x, x1);
    most_y = std::max(most_y, y1);
  }
  CHECK(most_x > 300);
  CHECK(most_x <= 595.276 - 49);  // the margin is 50
  CHECK(most_y <= 841.89 - 10);
}

TEST_CASE("Hostile text changes nothing but itself") {
  InventedCase made = FullCase();
  made.record.code = "<b>C</b> & ' ) endobj /JS \u202E";
  made.review.moments[2].text = "</span><markup>\xff\xfe \x1b[2J";
  const auto pdf = Make(ModelOf(made));
  CHECK(Has(pdf->text, "<b>C</b> & ' ) endobj /JS [U+202E]"));
  CHECK(Has(pdf->text, "</span><markup>"));
  CHECK_FALSE(Has(OutputOf("pdfinfo '" + pdf->path + "'"), "JavaScript:      yes"));
}

TEST_CASE("An empty review makes a PDF") {
  const auto made = Make(ModelOf(InventedCase{}));
  CHECK(made->file.pages >= 1);
  CHECK(Has(made->text, "No steps are tagged in this review"));
}

// A run without a space is set piece by piece. Of equal letters each line but the last takes as many as fit.
TEST_CASE("A long run without a space fills its lines as a short one does") {
  Typesetter typesetter;
  const TextStyle style;
  const double letter = typesetter.Set(std::string(100, 'Q'), style).width() / 100;
  const double width = 61.5 * letter;
  for (const std::size_t letters : {200u, 3000u, 30000u}) {
    const TextBlock block = typesetter.Set(std::string(letters, 'Q'), style, width);
    CHECK(block.lines() == (letters + 60) / 61);
    CHECK(block.width() <= width);
  }
  // What has places to break keeps them.
  std::string words;
  while (words.size() < 3000) words += "two words ";
  CHECK(typesetter.Set(words + std::string(500, 'Q') + " end", style, 300).lines() >
        typesetter.Set(words, style, 300).lines() + 5);
}

TEST_CASE("Of a remark of 60 000 letters without a space only the first ones are set, and the PDF says so") {
  InventedCase made = ThreeSteps();
  made.review.assessment.change = std::string(60000, 'Q');
  const auto pdf = Make(ModelOf(made));
  CHECK(std::count(pdf->text.begin(), pdf->text.end(), 'Q') ==
        static_cast<std::ptrdiff_t>(Typesetter::kMostCharacters));
  CHECK(Has(pdf->text, "shortened"));
}

namespace {

// A picture of three bytes a pixel, as pdftoppm writes it (Netpbm's P6).
RgbImage ReadPpm(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  std::string magic;
  int most = 0;
  RgbImage image;
  file >> magic >> image.width >> image.height >> most;
  file.get();
  if (magic != "P6" || most != 255) return {};
  image.pixels.resize(static_cast<std::size_t>(image.width) * static_cast<std::size_t>(image.height) * 3);
  file.read(reinterpret_cast<char*>(image.pixels.data()), static_cast<std::streamsize>(image.pixels.size()));
  return image;
}

// Mean darkness, 0 to 255, of each square of the picture.
std::vector<double> Squares(const RgbImage& image) {
  constexpr int kSide = 14;
  std::vector<double> means;
  for (int top = 0; top + kSide <= image.height; top += kSide)
    for (int left = 0; left + kSide <= image.width; left += kSide) {
      double sum = 0;
      for (int y = top; y < top + kSide; ++y)
        for (int x = left; x < left + kSide; ++x) sum += 255 - image.At(x, y)[1];
      means.push_back(sum / (kSide * kSide));
    }
  return means;
}

}  // namespace

TEST_CASE("A page as a picture is the page that poppler draws from the file") {
  const ReportModel model = ModelOf(FullCase(), true);
  const auto made = Make(model);
  const auto page = MakeReportPage(model, {}, 2, 2);
  REQUIRE(page.ok());
  CHECK(page->page == 2);
  CHECK(page->pages == made->file.pages);
  OutputOf("pdftoppm -singlefile -r 144 -f 2 -l 2 '" + made->path + "' '" + (made->folder / "page") + "'");
  const RgbImage poppler = ReadPpm(made->folder / "page.ppm");
  REQUIRE(poppler.width == page->image.width);
  REQUIRE(poppler.height == page->image.height);
  const auto ours = Squares(page->image);
  const auto theirs = Squares(poppler);
  double off = 0;
  double dark = 0;
  for (std::size_t i = 0; i < ours.size(); ++i) {
    off += std::abs(ours[i] - theirs[i]);
    dark += theirs[i];
  }
  CHECK(dark / static_cast<double>(ours.size()) > 2);  // something stands on it
  CHECK(off < 0.15 * dark);                            // letters are smoothed differently
}

TEST_CASE("A page after the last is the last, one before the first is the first") {
  const auto page = MakeReportPage(ModelOf(FullCase(), true), {}, 99, 0.25);
  REQUIRE(page.ok());
  CHECK(page->page == page->pages);
  CHECK(page->image.width == 149);  // 595.276 / 4
  CHECK(MakeReportPage(ModelOf(FullCase(), true), {}, -3, 0.25)->page == 1);
}
