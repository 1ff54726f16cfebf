// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/media/recording.hpp"
#include "app/common/job_runner.hpp"

#include <atomic>
#include <condition_variable>
#include <deque>
#include <functional>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <thread>
#include <vector>

namespace afterscope {

// What can be shown of any frame at once, until its own picture comes: small pictures of key frames all along
// each recording and of its last frame and, where key frames are far apart, pictures of a light copy. Made in
// the background at low priority, bounded in size, kept in the case's cache folder. Every picture names the
// frame that it was made from; it is never the frame's own. Add, Clear and Nearest from one thread.
class StandIns {
 public:
  explicit StandIns(std::function<void()> wake);  // called from any thread when there is more to show
  ~StandIns();
  StandIns(const StandIns&) = delete;
  StandIns& operator=(const StandIns&) = delete;

  // `cache_folder` empty: nothing is kept beyond this run, and no light copy is made.
  void Add(std::shared_ptr<Recording> recording, int number, const std::string& cache_folder);
  // Drops all, without waiting for work under way.
  void Clear();
  // The one nearest in time; empty where there is none yet.
  std::optional<Picture> Nearest(FrameRef at) const;
  // What is being made now; null: nothing. Where it is stopped, it is not made again while the recording is
  // open.
  JobHandle Work() const;

 private:
  struct Of;

  void Run();
  void MakeSmall(Of& of);
  bool MakeMissing(Of& of, bool has_key_frames);
  bool MakeLight(Of& of);
  void ShowLight(Of& of);
  bool MakeFile(Of& of, const std::string& path);
  JobHandle BeginWork(const std::string& what);

  std::function<void()> wake_;
  std::vector<std::shared_ptr<Of>> all_;

  mutable std::mutex mutex_;
  std::condition_variable changed_;
  std::deque<std::shared_ptr<Of>> wants_small_;
  std::deque<std::shared_ptr<Of>> wants_light_;
  std::vector<std::shared_ptr<Of>> leaving_;  // let go of where waiting does no harm
  JobHandle work_;                            // made last
  bool closing_ = false;
  std::atomic<bool> small_wanted_{false};
  std::thread thread_;
};

// Places all along [first, end): its beginning, its middle, then again and again the middles between those,
// until there are `count` at least. None where it is empty. Pure.
std::vector<Pts> CoarseToFine(Pts first, Pts end, int count);

}  // namespace afterscope
