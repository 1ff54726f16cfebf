// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/common/job_runner.hpp"

#include <string>
#include <vector>

namespace afterscope {

struct Scene;

// How long work will still take if it goes on as fast as so far, in words for the screen: `share` of it was
// done in so many seconds. Empty while too little is done to tell.
std::string TimeLeftWords(double share, double seconds);

// "Following the tip … 34 %, about 20 s left"; without a share where none is known yet.
std::string WorkWords(const JobTicket& work);

// The order in which one key stops them: `in_sight` first, while it goes on.
std::vector<JobHandle> InOrderOfStopping(std::vector<JobHandle> works, const JobHandle& in_sight);

// A line in a sheet for work that goes on, with a button that stops it, and the key that does where this is
// the first that is shown: what is in sight is stopped first. False, drawing nothing, where it has ended or
// was never begun.
bool DrawWork(const Scene& scene, const JobHandle& work);

}  // namespace afterscope
