// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <functional>
#include <string>
#include <vector>

namespace CLI {
class App;
}

namespace afterscope {

// One verb of the program. `bind` adds its options to the given sub-command and returns what runs it and
// gives the exit status (ErrorCode's numbers; 0 done, 1 done and found something wrong).
struct Command {
  std::string verb;
  std::string what_it_does;  // one line for --help
  std::function<std::function<int()>(CLI::App&)> bind;
};

// The verbs, in the order of --help. A new verb touches this list only.
std::vector<Command> Commands();

// Parses and runs; 2 and one sentence where the call is wrong.
int RunCommand(int argc, char** argv);

}  // namespace afterscope
