// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/edit.hpp"
#include "annotate/store/file_system.hpp"
#include "metrics/base/result.hpp"
#include "metrics/base/time.hpp"

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// A recording found in a folder.
struct FoundRecording {
  std::string path;
  std::int64_t size = 0;
  double seconds = 0;                     // how long it lasts; 0: not known
  std::optional<std::int64_t> started_s;  // since 1970, by the clock time in its name, or none
  std::int64_t written_s = 0;             // when the file was last written
  std::string caution;                    // why it can't be read, empty otherwise
};

struct ProposedCase {
  std::string name;                        // for a folder
  std::vector<FoundRecording> recordings;  // in order
  std::vector<std::string>
      reasons;  // for each recording after the first: why it is taken as its continuation
};

struct IntakeOptions {
  double most_gap_s = 120;  // between the end of a recording and the start of the next of the same case
};

// A name without its last number, and that number: "CASE_0012_2" gives "CASE_0012_#" and 2. Without a number:
// -1.
struct NumberedName {
  std::string pattern;
  std::int64_t number = -1;
};
NumberedName SplitNumber(const std::string& stem);

// The date and time of day in a name such as "2019-10-16_10-13-16_V", "20191016101316", in seconds since 1970
// as if UTC; empty if there is none.
std::optional<std::int64_t> ClockTimeIn(const std::string& stem);
// The date in a name such as "2019-10-16 second list", as YYYY-MM-DD; empty if there is none.
std::string DateIn(const std::string& stem);

// Joins recordings into cases: the next one continues a case if its name is the same but for a last number
// that is one higher, or if both names (or else both files' times) say when they were made and the gap
// between the end of the one and the start of the next is at most `most_gap_s`. A numbered name whose times
// say that the gap is larger starts a new case.
std::vector<ProposedCase> ProposeCases(std::vector<FoundRecording> recordings, const IntakeOptions& options);

// Makes the case of a proposal in `folder`, which must be absent or empty, with these fields. Blocks.
Status MakeProposedCase(const std::string& folder, const ProposedCase& proposed, const EditGroup& fields,
                        const Progress& progress, const StopQuery& stop);

// The recordings of a folder (not of those under it), by the extensions that recorders, phones and editors
// use, their lengths by `seconds_of`.
Result<std::vector<FoundRecording>> FindRecordings(
    const std::string& folder, const std::function<Result<double>(const std::string&)>& seconds_of,
    const Progress& progress, const StopQuery& stop, FileSystem& files = RealFileSystem());

}  // namespace afterscope
