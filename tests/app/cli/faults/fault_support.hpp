// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "tests/app/cli/forked_run_support.hpp"

#include <functional>
#include <string>
#include <vector>

namespace afterscope {

// What a case holds, as text; "none" where it can't be opened. Opening it brings it in order.
std::string StateOfCase(const std::string& case_folder);
// What was followed for a case's review, as text.
std::string StateOfFollowed(const std::string& case_folder);
// How many remarks of the case's review have their sound, and what is wrong with it.
std::string StateOfSpoken(const std::string& case_folder);
// How many sealed files a folder of the cache holds, and how many that are not whole.
std::string StateOfCache(const std::string& cache_folder);

// Something that the program writes, tried on a disk that breaks (tests/support/broken_disk.cpp).
struct WritingCall {
  const char* name;
  const char* arguments;             // of the program, which runs in a folder that MakeFaultFolder made
  std::vector<std::string> outputs;  // what it writes beside the cases
  bool replaces = true;              // outputs that are there are replaced; else they are refused
  const char* looked_at = "c";       // the folder whose state is looked at; empty: none
  std::string (*state)(const std::string& folder) = StateOfCase;
  bool promised = true;            // else a cache: it may end well without having kept anything
  int most_points = 0;             // so many of its points are tried, evenly; 0: all
  std::function<int()> work = {};  // in that folder, in place of a command of the program; its exit status
};

std::vector<WritingCall> WritingCalls();

// A folder with recordings, cases, tables and texts for the calls, and assets with a demo that is soon made.
void MakeFaultFolder(const std::string& folder);

struct FaultRun {
  int status = 0;        // 128 + the signal where one ended it
  bool reached = false;  // the call of that number was made
  int calls = 0;         // how many there were, where none was to go wrong
  std::string complaint;
};

// What a WritingCall does, as RunForked; the assets are those of MakeFaultFolder. `before` is called first.
ForkedRun RunCall(const std::string& folder, const WritingCall& call,
                  const std::function<void()>& before = {});

// The same on a broken disk. `how`: as broken_disk has it; `at`: the number of the call that goes wrong, from
// 1; 0: none.
FaultRun RunOnDisk(const std::string& folder, const WritingCall& call, const std::string& how, int at);

// Whether a file is text that is the same each time that it is written: a case holds the time.
bool IsSameEachTime(const std::string& path);
// Whether a file is one that the program wrote to its end.
bool IsWhole(const std::string& path);

// Files and folders below a folder that bear a name for what is not finished.
std::vector<std::string> Unfinished(const std::string& folder);

}  // namespace afterscope
