// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/result.hpp"
#include "metrics/base/time.hpp"

#include <string>

namespace afterscope {

// For commands: a line on standard error that counts per cent, from a second after the start on and only
// where standard error is a terminal. Call from one thread.
Progress ConsoleProgress(std::string what);

// True once the user pressed Ctrl-C.
StopQuery ConsoleStop();

// The date by this machine's clock and time zone, YYYY-MM-DD.
std::string Today();

// Prints the sentence on standard error and returns the exit status.
int Failed(const Error& error);

}  // namespace afterscope
