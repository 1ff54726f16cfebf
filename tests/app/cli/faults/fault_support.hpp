// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

namespace afterscope {

// Something that the program writes, tried on a disk that breaks (tests/support/broken_disk.cpp).
struct WritingCall {
  const char* name;
  const char* arguments;             // of the program, which runs in a folder that MakeFaultFolder made
  std::vector<std::string> outputs;  // what it writes beside the cases
  bool replaces = true;              // outputs that are there are replaced; else they are refused
  const char* cases = "c";           // the case whose state is looked at; empty: none
};

std::vector<WritingCall> WritingCalls();

// A folder with a recording, cases, tables and texts for the calls.
void MakeFaultFolder(const std::string& folder);

struct FaultRun {
  int status = 0;        // 128 + the signal where one ended it
  bool reached = false;  // the call of that number was made
  std::string complaint;
};

// As RunForked. `how`: as broken_disk has it; `at`: the number of the call that goes wrong, from 1; 0: none.
FaultRun RunOnDisk(const std::string& folder, const std::string& arguments, const std::string& how, int at);

// What a case holds, as text; "none" where it can't be opened. Opening it brings it in order.
std::string StateOfCase(const std::string& case_folder);

// Whether a file is one that the program wrote to its end.
bool IsWhole(const std::string& path);

// Files and folders below a folder that bear a name for what is not finished.
std::vector<std::string> Unfinished(const std::string& folder);

}  // namespace afterscope
