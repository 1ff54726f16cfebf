// SPDX-License-Identifier: Apache-2.0
#include "tests/annotate/store/fault_support.hpp"

#include "annotate/case/signing.hpp"
#include "annotate/case/tagging.hpp"
#include "annotate/store/case_session.hpp"
#include "tests/annotate/case/case_support.hpp"

#include <filesystem>

namespace afterscope {
namespace {

Error Broken(const std::string& what) { return {ErrorCode::kUnwritable, what + " failed."}; }

class MemoryFile final : public WritableFile {
 public:
  explicit MemoryFile(std::shared_ptr<MemoryFiles::Node> node) : node_(std::move(node)) {}
  Status Append(std::string_view bytes) override {
    node_->now += bytes;
    return {};
  }
  Status WriteAt(std::int64_t position, std::string_view bytes) override {
    const auto at = static_cast<std::size_t>(position);
    if (at > node_->now.size()) return Broken("write");
    node_->now.replace(at, bytes.size(), bytes);
    return {};
  }
  Status Sync() override {
    node_->durable = node_->now;
    return {};
  }
  Status Close() override { return {}; }

 private:
  std::shared_ptr<MemoryFiles::Node> node_;
};

class MemoryLock final : public FileLock {
 public:
  MemoryLock(std::shared_ptr<std::set<std::string>> locks, std::string path)
      : locks_(std::move(locks)), path_(std::move(path)) {}
  ~MemoryLock() override { locks_->erase(path_); }

 private:
  std::shared_ptr<std::set<std::string>> locks_;
  std::string path_;
};

std::string Above(const std::string& path) { return std::filesystem::path(path).parent_path().string(); }
std::string NameOf(const std::string& path) { return std::filesystem::path(path).filename().string(); }

}  // namespace

MemoryFiles::MemoryFiles() { folders_["/memory"]; }

MemoryFiles::Folder* MemoryFiles::FolderAt(const std::string& path) {
  const auto found = folders_.find(path);
  if (found == folders_.end()) return nullptr;
  if (path == "/memory") return &found->second;
  Folder* above = FolderAt(Above(path));
  return above && above->folders_now.contains(NameOf(path)) ? &found->second : nullptr;
}

std::shared_ptr<MemoryFiles::Node> MemoryFiles::NodeAt(const std::string& path) {
  Folder* folder = FolderAt(Above(path));
  if (!folder) return nullptr;
  const auto found = folder->now.find(NameOf(path));
  return found == folder->now.end() ? nullptr : found->second;
}

std::unique_ptr<MemoryFiles> MemoryFiles::AfterPowerLoss(const std::function<bool()>& keep,
                                                         std::mt19937& random) const {
  auto after = std::make_unique<MemoryFiles>();
  std::map<const Node*, std::shared_ptr<Node>> nodes;
  const auto survivor = [&](const std::shared_ptr<Node>& node) {
    auto& fresh = nodes[node.get()];
    if (!fresh) {
      std::string bytes = node->durable;
      if (node->now.starts_with(bytes) && node->now.size() > bytes.size() && keep()) {
        const std::size_t unsynced = node->now.size() - bytes.size();
        bytes = node->now.substr(
            0, bytes.size() + std::uniform_int_distribution<std::size_t>(0, unsynced)(random));
      }
      fresh = std::make_shared<Node>(Node{bytes, bytes});
    }
    return fresh;
  };
  for (const auto& [path, folder] : folders_) {
    const bool kept = keep();
    Folder& fresh = after->folders_[path];
    for (const auto& [name, node] : kept ? folder.now : folder.durable) fresh.now[name] = survivor(node);
    fresh.durable = fresh.now;
    fresh.folders_now = kept ? folder.folders_now : folder.folders_durable;
    fresh.folders_durable = fresh.folders_now;
  }
  return after;
}

Result<FileInfo> MemoryFiles::Stat(const std::string& path) {
  if (FolderAt(path)) return FileInfo{FileType::kDirectory, 0, 0};
  if (const auto node = NodeAt(path))
    return FileInfo{FileType::kRegular, static_cast<std::int64_t>(node->now.size()), 0};
  return FileInfo{};
}
Result<std::string> MemoryFiles::ReadAll(const std::string& path, std::int64_t) {
  const auto node = NodeAt(path);
  if (!node) return Error{ErrorCode::kUnreadable, "no " + path};
  return node->now;
}
Result<std::vector<std::string>> MemoryFiles::List(const std::string& path) {
  const Folder* folder = FolderAt(path);
  if (!folder) return Error{ErrorCode::kUnreadable, "no " + path};
  std::vector<std::string> names(folder->folders_now.begin(), folder->folders_now.end());
  for (const auto& [name, node] : folder->now) names.push_back(name);
  return names;
}
Result<std::unique_ptr<WritableFile>> MemoryFiles::Create(const std::string& path) {
  Folder* folder = FolderAt(Above(path));
  if (!folder || folder->now.contains(NameOf(path))) return Broken("create");
  auto node = std::make_shared<Node>();
  folder->now[NameOf(path)] = node;
  return std::unique_ptr<WritableFile>(std::make_unique<MemoryFile>(std::move(node)));
}
Result<std::unique_ptr<WritableFile>> MemoryFiles::OpenAppend(const std::string& path) {
  if (const auto node = NodeAt(path))
    return std::unique_ptr<WritableFile>(std::make_unique<MemoryFile>(node));
  return Create(path);
}
Status MemoryFiles::Truncate(const std::string& path, std::int64_t size) {
  const auto node = NodeAt(path);
  if (!node) return Broken("truncate");
  node->now.resize(static_cast<std::size_t>(size));
  node->durable = node->now;
  return {};
}
Status MemoryFiles::Rename(const std::string& from, const std::string& to) {
  const auto node = NodeAt(from);
  if (!node) return Broken("rename");
  FolderAt(Above(from))->now.erase(NameOf(from));
  FolderAt(Above(to))->now[NameOf(to)] = node;
  return {};
}
Status MemoryFiles::RenameIfFree(const std::string& from, const std::string& to) {
  return NodeAt(to) || FolderAt(to) ? Status(Broken("rename")) : Rename(from, to);
}
Status MemoryFiles::Remove(const std::string& path) {
  if (!NodeAt(path)) return Broken("remove");
  FolderAt(Above(path))->now.erase(NameOf(path));
  return {};
}
Status MemoryFiles::MakeFolder(const std::string& path) {
  Folder* above = FolderAt(Above(path));
  if (!above) return Broken("mkdir");
  above->folders_now.insert(NameOf(path));
  folders_[path];
  return {};
}
Status MemoryFiles::SyncFolder(const std::string& path) {
  Folder* folder = FolderAt(path);
  if (!folder) return Broken("sync folder");
  folder->durable = folder->now;
  folder->folders_durable = folder->folders_now;
  return {};
}
Result<std::unique_ptr<FileLock>> MemoryFiles::Lock(const std::string& path, std::chrono::milliseconds) {
  if (!locks_->insert(path).second) return Broken("lock");
  return std::unique_ptr<FileLock>(std::make_unique<MemoryLock>(locks_, path));
}
Result<std::unique_ptr<FileLock>> MemoryFiles::LockExisting(const std::string& path) {
  if (!NodeAt(path) && !FolderAt(path)) return Broken("lock");
  return Lock(path, {});
}

namespace {

using Change = std::function<Status(CaseSession&)>;

Status Start(CaseSession& session, const char* step, std::int64_t ticks) {
  AFTERSCOPE_ASSIGN(const EditGroup group,
                    StartStep(session.review(), step, At(ticks), [&] { return session.NewVisitId(); }));
  return session.Commit(group);
}

std::vector<Change> Changes() {
  return {
      [](CaseSession& s) { return Start(s, "side_port", 1000); },
      [](CaseSession& s) { return Start(s, "rhexis", 2000); },
      [](CaseSession& s) -> Status {
        return s.Commit({"Eye", {SetCaseField{"eye", "left"}}});
      },
      [](CaseSession& s) -> Status {
        AFTERSCOPE_ASSIGN(const EditGroup group,
                          TakeOver(s.review(), s.record(), At(2500), [&] { return s.NewVisitId(); }));
        return s.Commit(group);
      },
      [](CaseSession& s) { return s.Undo(); },
      [](CaseSession& s) -> Status {
        return s.Commit(
            {"Trail", {Put<Trail>{{s.NewTrailId(), "forceps", "main", {{At(10), {1, 2}, {}, 1}}, {}}}}});
      },
      [](CaseSession& s) { return s.Undo(); },
      [](CaseSession& s) { return s.Redo(); },
      [](CaseSession& s) -> Status {
        AFTERSCOPE_TRY(s.SaveCheckpoint());
        return s.Commit({"Extra", {SetCaseField{"extra.note", "words"}}});
      },
      [](CaseSession& s) -> Status {
        return s.Commit(
            {"Remark", {Put<Moment>{{s.NewMomentId(), At(3000), MomentKind::kRemark, "", "good", {}}}}});
      },
      [](CaseSession& s) -> Status {
        return s.CommitFacts({"Recordings", {SetRecordings{TwoRecordings().recordings}}});
      },
      [](CaseSession& s) { return s.Sign("m1"); },
      [](CaseSession& s) -> Status {
        AFTERSCOPE_ASSIGN(const EditGroup group,
                          AnswerReview(s.record(), s.review().id, {"t1", "2026-11-26", "thank you"}));
        return s.Commit(group);
      },
  };
}

}  // namespace

CaseState Comparable(CaseRecord record, Review review) {
  for (SignedReview& kept : record.signed_reviews) kept.seal.clear();
  review.signature.at.clear();
  return {true, std::move(record), std::move(review)};
}

void RunScenario(FileSystem& files, const std::string& folder,
                 const std::function<void(const CaseState&)>& acknowledged) {
  if (!CaseSession::Create(folder, TwoRecordings(), files).ok()) return;
  acknowledged({true, TwoRecordings(), {}});
  auto session = CaseSession::Open(folder, {}, files);
  if (!session.ok() || (*session)->read_only()) return;
  for (const Change& change : Changes()) {
    if (!change(**session).ok()) return;
    acknowledged(Comparable((*session)->record(), (*session)->review()));
  }
}

std::vector<CaseState> CleanStates() {
  std::vector<CaseState> states(1);
  MemoryFiles files;
  RunScenario(files, "/memory/case", [&](const CaseState& state) { states.push_back(state); });
  states[1].review.id = {"r1"};
  return states;
}

CaseState StateOf(FileSystem& files, const std::string& folder) {
  const auto session = CaseSession::Open(folder, {}, files);
  if (!session.ok()) return {};
  return Comparable((*session)->record(), (*session)->review());
}

}  // namespace afterscope
