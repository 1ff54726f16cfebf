// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/clips_lock.hpp"

#include <chrono>

namespace afterscope {
namespace {

constexpr std::chrono::seconds kMostWait{
    20};  // several takes of the longest kind are encoded one after another

}  // namespace

Result<std::unique_ptr<FileLock>> LockClips(FileSystem& files, const std::string& case_folder) {
  AFTERSCOPE_TRY(MakeFolders(files, case_folder + "/clips"));
  return files.Lock(case_folder + "/clips/lock", kMostWait);
}

}  // namespace afterscope
