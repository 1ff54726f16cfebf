// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"

#include <string>

namespace afterscope {

// A sentence about a case that is reviewed blinded, without what tells whose it is: the case's folder and
// paths in it become "this case", files of its recordings "recording 1" ..., its codes "operator",
// "supervisor" and "this case". Codes and file names go where they stand as words of their own. Pure.
std::string WithoutNames(std::string text, const std::string& folder, const CaseRecord& record);

}  // namespace afterscope
