// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <functional>
#include <string>

namespace afterscope {

struct ForkedRun {
  int status = 0;  // 128 + the signal where one ended it
  std::string out;
  std::string err;
};

// Runs a command of the program in a folder, in a process that is forked from this one: starting the program
// anew takes ten times as long. The user's own folders are data, cache and config in that folder. Words are
// split at spaces; single quotes keep them together. `before` is called in that process, `work`, where there
// is one, in place of the command.
ForkedRun RunForked(const std::string& folder, const std::string& arguments,
                    const std::function<void()>& before = {}, const std::function<int()>& work = {});

// The same for a call that is to succeed; returns what it printed.
std::string Done(const std::string& folder, const std::string& arguments);

bool Has(const std::string& text, const std::string& part);
std::string BytesOf(const std::string& path);
void WriteBytes(const std::string& path, const std::string& bytes);

}  // namespace afterscope
