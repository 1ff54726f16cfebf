// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/result.hpp"
#include "metrics/base/time.hpp"

#include <fmt/format.h>

#include <cstdio>
#include <string>
#include <string_view>
#include <type_traits>
#include <utility>

namespace afterscope {

// For commands: a line on standard error that counts per cent, from a second after the start on and only
// where standard error is a terminal. Call from one thread.
Progress ConsoleProgress(const std::string& what);

// True once the user pressed Ctrl-C.
StopQuery ConsoleStop();

// The date by this machine's clock and time zone, YYYY-MM-DD.
std::string Today();

// A text for a terminal, on one line: what would steer it or reorder what is shown is made visible
// (annotate/report/safe_text.hpp), line feeds become spaces.
std::string SafeLine(std::string_view text);

template <class Arg>
auto Shown(const Arg& arg) {
  if constexpr (std::is_convertible_v<const Arg&, std::string_view>)
    return SafeLine(arg);
  else
    return arg;
}

// As fmt::print, with every text among the arguments as SafeLine has it: they come from cases, recordings and
// names of files, which anyone may have made. Not for JSON and tables, which others read.
template <class... Args>
void Say(std::FILE* to, fmt::format_string<decltype(Shown(std::declval<const Args&>()))...> words,
         const Args&... args) {
  fmt::print(to, words, Shown(args)...);
}
template <class... Args>
void Say(fmt::format_string<decltype(Shown(std::declval<const Args&>()))...> words, const Args&... args) {
  fmt::print(words, Shown(args)...);
}

// Prints the sentence on standard error and returns the exit status.
int Failed(const Error& error);

}  // namespace afterscope
