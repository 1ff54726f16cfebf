// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/sealed_file.hpp"

#include "annotate/media/digest.hpp"

namespace afterscope {
namespace {

constexpr std::size_t kSealBytes = 64;  // the digest in hex, at the end

}  // namespace

std::shared_ptr<const std::string> LoadSealed(FileSystem& files, const std::string& path,
                                              std::int64_t most_bytes) {
  auto bytes = files.ReadAll(path, most_bytes);
  if (!bytes.ok() || bytes->size() < kSealBytes) return nullptr;
  const std::string seal = bytes->substr(bytes->size() - kSealBytes);
  bytes->resize(bytes->size() - kSealBytes);
  if (Sha256Hex(*bytes) != seal) return nullptr;
  return std::make_shared<const std::string>(std::move(*bytes));
}

void SaveSealed(FileSystem& files, const std::string& folder, const std::string& name, std::string bytes) {
  bytes += Sha256Hex(bytes);
  if (const Status made = MakeFolders(files, folder); made.ok())
    (void)ReplaceFile(files, folder + "/" + name, bytes).ok();
}

}  // namespace afterscope
