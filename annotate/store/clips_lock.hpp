// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/store/file_system.hpp"

#include <memory>
#include <string>

namespace afterscope {

// For a change of what several programs keep in a case's clips/ (takes, sounds): held from reading it to
// writing it. The case's own lock is no use for that: the window holds it all the time. Another program's
// change is waited for, some seconds; then kUnwritable. Makes the folder.
Result<std::unique_ptr<FileLock>> LockClips(FileSystem& files, const std::string& case_folder);

}  // namespace afterscope
