// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/step_list.hpp"

#include <string>

namespace afterscope {

// Changes of a step list. A step keeps its key for ever: visits refer to it.

// A key for a new step: of the name's letters a-z and digits, else "step"; one that the list does not have.
std::string FreshStepKey(const StepList& list, const std::string& name);
// A digit, else a letter, that no step has and the program does not use while tagging; empty: none is left.
std::string FreeShortcut(const StepList& list);

// Adds a step at the end of the usual order, or finds the one of that name; says its key. Empty for an empty
// name.
std::string AddStep(StepList& list, const std::string& name);
void RenameStepOfList(StepList& list, const std::string& key, const std::string& name);
// One sentence where it is no key, or another step has it, or the program uses it itself; unchanged then.
std::string SetShortcut(StepList& list, const std::string& key, const std::string& shortcut);
// Earlier (-1) or later (1) in the order; nothing happens at its ends.
void MoveStep(StepList& list, const std::string& key, int by);
void RemoveStepOfList(StepList& list, const std::string& key);

}  // namespace afterscope
