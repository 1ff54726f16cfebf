// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/common/job_runner.hpp"

#include <functional>
#include <memory>
#include <string>
#include <utility>

namespace afterscope {

// Jobs whose results matter only while their owner is there and has not moved on to something else: a result
// that comes later is dropped. Used on the thread that drains `jobs`, which outlives it.
class JobScope {
 public:
  explicit JobScope(JobRunner& jobs) : jobs_(jobs) {}
  ~JobScope() { *wanted_ = false; }
  JobScope(const JobScope&) = delete;
  JobScope& operator=(const JobScope&) = delete;

  // The results of what was started before are not wanted any more.
  void Renew() {
    *wanted_ = false;
    wanted_ = std::make_shared<bool>(true);
  }

  // As JobRunner::Start.
  template <class Work, class Done>
  JobHandle Start(std::string what, Work work, Done done) {
    return jobs_.Start(std::move(what), std::move(work),
                       [wanted = wanted_, done = std::move(done)](auto result) mutable {
                         if (*wanted) done(std::move(result));
                       });
  }

  // Posts calls, from any thread, that count as results of jobs do.
  auto Poster() const {
    return [&jobs = jobs_, wanted = wanted_](std::function<void()> call) {
      jobs.Post([wanted, call = std::move(call)] {
        if (*wanted) call();
      });
    };
  }

 private:
  JobRunner& jobs_;
  std::shared_ptr<bool> wanted_ = std::make_shared<bool>(true);
};

}  // namespace afterscope
