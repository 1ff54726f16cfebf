// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/sheets/text_field.hpp"

#include <string>

namespace afterscope {

struct StepsState {
  bool editing = false;  // the step list is being changed
  std::string problem;   // one sentence about the last change that was refused
  TypedTexts typed;
};

}  // namespace afterscope
