// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/common/command.hpp"

namespace afterscope {

// One function a verb, each in a file of its own name; app/common/command.cpp lists them.

Command DemoCommand();
Command CheckCommand();
Command ClipCommand();
Command FollowCommand();
Command FrameCommand();
Command ImportCommand();
Command InfoCommand();
Command MeasureCommand();
Command IntakeCommand();
Command NewCommand();
Command TagCommand();
Command ReportCommand();
Command SeriesCommand();
Command ScoreCommand();
Command AgreeCommand();
Command OutcomesCommand();
Command DueCommand();
Command FindCommand();
Command ForgetCommand();
Command PackCommand();
Command VerifyCommand();

}  // namespace afterscope
