// SPDX-License-Identifier: Apache-2.0
#include "app/common/command.hpp"

#include "annotate/platform/terminal.hpp"
#include "app/cli/verbs.hpp"
#include "app/common/console.hpp"
#include "metrics/base/result.hpp"

#include <CLI/CLI.hpp>

#include <algorithm>
#include <cstdio>
#include <memory>
#include <new>
#include <string>
#include <system_error>

namespace afterscope {

std::vector<Command> Commands() {
  return {
      DemoCommand(),   IntakeCommand(), InfoCommand(),     FrameCommand(),  NewCommand(),  TagCommand(),
      ImportCommand(), FollowCommand(), MeasureCommand(),  ReportCommand(), ClipCommand(), SeriesCommand(),
      ScoreCommand(),  AgreeCommand(),  OutcomesCommand(), DueCommand(),    FindCommand(), CheckCommand(),
      PackCommand(),   ForgetCommand(), VerifyCommand(),
  };
}

namespace {

// CLI11's first line is what is wrong.
std::string SentenceOf(std::string words) {
  words.resize(std::min(words.find('\n'), words.size()));
  if (!words.ends_with('.')) words += '.';
  return words;
}

int ParseAndRun(int argc, char** argv) {
  CLI::App program{"Afterscope: review, measure and teach from recorded cataract operations", "afterscope"};
  program.require_subcommand(1);
  program.set_version_flag("--version", std::string(AFTERSCOPE_VERSION));
  int status = 0;
  for (Command& command : Commands()) {
    CLI::App* sub = program.add_subcommand(command.verb, command.what_it_does);
    auto run = std::make_shared<std::function<int()>>(command.bind(*sub));
    sub->callback([run, &status] { status = (*run)(); });
  }
  try {
    program.parse(argc, argv);
  } catch (const CLI::ParseError& problem) {
    if (problem.get_exit_code() == 0) return program.exit(problem);  // prints help
    Say(stderr, "{}\n", SentenceOf(problem.what()));
    return 2;
  }
  return status;
}

int CannotPrint() {
  std::fputs("The result can't be printed: standard output is full or closed.\n", stderr);
  return static_cast<int>(ErrorCode::kUnwritable);
}

}  // namespace

int RunCommand(int argc, char** argv) {
  CatchInterrupts();  // work that can be stopped asks; what can't is short, and a second interrupt ends the
                      // program
  try {
    const int status = ParseAndRun(argc, argv);
    return std::fflush(stdout) == 0 && std::ferror(stdout) == 0 ? status : CannotPrint();
  } catch (const std::system_error& problem) {  // fmt's, from printing; or there is no room for a thread
    if (problem.code() == std::errc::resource_unavailable_try_again) throw std::bad_alloc();
    return CannotPrint();
  }
}

}  // namespace afterscope
