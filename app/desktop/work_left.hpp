// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/common/job_runner.hpp"

#include <memory>
#include <string>

namespace afterscope {

// How long a piece of work will still take, if it goes on as fast as since it was first seen here.
class WorkLeft {
 public:
  // In words for the screen, now in seconds; empty while too little of it is done to tell.
  std::string Words(const JobHandle& job, double now);

 private:
  std::weak_ptr<JobTicket> job_;
  double seen_at_ = 0;
  double share_then_ = 0;
};

}  // namespace afterscope
