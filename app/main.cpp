// SPDX-License-Identifier: Apache-2.0
#include "app/common/command.hpp"

int main(int argc, char** argv) { return afterscope::RunCommand(argc, argv); }
