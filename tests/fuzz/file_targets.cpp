// SPDX-License-Identifier: Apache-2.0
#include "tests/fuzz/file_targets.hpp"

#include "annotate/clip/voice_takes_json.hpp"
#include "annotate/exchange/carried_data.hpp"
#include "annotate/exchange/carried_text.hpp"
#include "annotate/exchange/csv.hpp"
#include "annotate/exchange/delimited_text.hpp"
#include "annotate/exchange/markup.hpp"
#include "annotate/exchange/timed_text.hpp"
#include "annotate/jobs/series/finding_cache.hpp"
#include "annotate/jobs/series/series_options.hpp"
#include "annotate/jobs/series/series_outcome_table.hpp"
#include "annotate/media/digest.hpp"
#include "annotate/media/helper_messages.hpp"
#include "annotate/media/shared_picture.hpp"
#include "annotate/media/small_picture_file.hpp"
#include "annotate/report/safe_text.hpp"
#include "annotate/store/followed_files.hpp"
#include "tests/fuzz/one_text.hpp"

#include <fmt/format.h>

#include <string>
#include <vector>

namespace afterscope {
namespace {

// Reads every sample, so that a view that lies outside its memory is noticed.
void Touch(const Picture& picture) {
  unsigned sum = 0;
  for (int i = 0; i < picture.plane_count(); ++i) {
    const PlaneView& plane = picture.planes[static_cast<std::size_t>(i)];
    const std::ptrdiff_t row = std::ptrdiff_t{plane.width} * picture.bytes_per_sample();
    for (int y = 0; y < plane.height; ++y)
      for (std::ptrdiff_t x = 0; x < row; x += 1 + row / 8) sum += plane.data[y * plane.stride + x];
  }
  [[maybe_unused]] static volatile unsigned touched;
  touched = sum;
}

bool IsControl(char c) { return static_cast<unsigned char>(c) < 32 || c == 127; }

// The same text comes back out of a table, a formula is none, and nothing that shows text is steered by it.
void DemandInert(const std::string& text) {
  const std::string safe = SafeText(text);
  Demand(SafeText(safe) == safe, "Text that was made harmless is not harmless.");
  for (const char c : safe) Demand(c == '\n' || !IsControl(c), "A control character passed.");
  Demand(safe.find("\xE2\x80\xAE") == std::string::npos, "A right-to-left override passed.");
  Demand(EscapedMarkup(safe, true).find_first_of("<>\"'") == std::string::npos, "Mark-up passed.");
  const std::string cell = CsvText(text);
  Demand(cell.empty() || std::string_view("=+-@\t\r\n").find(cell[0]) == std::string_view::npos,
         "A formula passed.");
  Demand(TextFromCsv(cell) == text, "A cell does not come back as it was.");
  if (const auto table = ReadDelimited("a,b\r\n" + CsvLine({"x", CsvText(safe)}), "a table"))
    Demand(table->rows.size() == 1 && table->rows[0].size() == 2, "A cell became more than one.");
}

}  // namespace

void ReadCarried(std::string_view bytes) {
  static FileOfBytes file;
  static_cast<void>(WhatFileCarries(file.Holding(bytes)));
  for (const TextKind kind :
       {TextKind::kHtml, TextKind::kWebVtt, TextKind::kSubRip, TextKind::kJson, TextKind::kTable}) {
    CarriedData data;
    static_cast<void>(SeeText(kind, std::string(bytes), data));
  }
}

void ReadFindings(std::string_view bytes) {
  OneText files(bytes);
  static_cast<void>(ReadFindingCache("case", "r1", {"times", "marks"}, files));
}

void ReadFollowed(std::string_view bytes) {
  OneText files(bytes);
  static_cast<void>(LoadFollowed("case", {"r1"}, files));
}

void ReadHelperMessage(std::string_view bytes) {
  OpenedFile opened;
  WireReader of_opening(bytes);
  Read(of_opening, opened);
  WireReader of_picture(bytes);
  DecodedFrame frame;
  PictureLayout layout;
  Read(of_picture, layout);
  Read(of_picture, frame);
  static const std::vector<std::uint8_t> shared(1 << 16);
  const Picture seen = ViewShared(layout, shared.data(), shared.size());
  if (!seen.empty()) Touch(OwnCopy(seen));
  WireReader of_turns(bytes);
  std::vector<ClockTurn> turns;
  Read(of_turns, turns);
}

void ReadOutcomes(std::string_view bytes) {
  const auto table = ReadDelimited(bytes, "a table");
  if (!table.ok()) return;
  std::vector<IndexCase> cases(2);
  cases[0].code = "k1";
  cases[1].code = "k2";
  cases[0].operator_code = cases[1].operator_code = "k1";
  const KnownColumns known{{{"pressure_day1", "", "number"}, {"late", "", "text"}}, {{"course", "", "date"}}};
  static_cast<void>(OutcomesFromTable(*table, known, cases));
}

void ReadSeriesPlan(std::string_view bytes) {
  OneText files(bytes);
  static_cast<void>(LoadSeriesPlan("plan.json", files));
}

// The seal is made here: anyone can make one.
void ReadSmallPictures(std::string_view bytes) {
  const std::string sealed = fmt::format("{}{}", bytes, Sha256Hex(bytes));
  OneText files(sealed);
  for (const Picture& picture : LoadSmallPictures(files, "cache", "key", 0)) Touch(picture);
}

void ReadVoiceTakes(std::string_view bytes) {
  OneText files(bytes);
  static_cast<void>(LoadTakes("case", files));
}

void ShowText(std::string_view bytes) {
  const std::string text(bytes);
  DemandInert(text);
  const std::vector<Cue> cues{{1, 2, SafeText(text)}, {3, 4, "after"}};
  for (const std::string& written : {WriteWebVtt(cues), WriteSubRip(cues)}) {
    const auto again = ReadTimedText(written);
    Demand(
        again.ok() && !again->cues.empty() && again->cues.size() <= 2 && again->cues.back().text == "after",
        "A caption became something else.");
  }
}

}  // namespace afterscope
