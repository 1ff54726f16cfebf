// SPDX-License-Identifier: Apache-2.0
#pragma once

namespace afterscope {

// Runs the tests that the command line asks for; returns the exit status.
int RunTests(int argc, char** argv);

}  // namespace afterscope
