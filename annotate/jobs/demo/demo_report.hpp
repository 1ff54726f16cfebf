// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/demo/demo_case.hpp"
#include "annotate/store/file_system.hpp"
#include "metrics/base/result.hpp"

#include <string>

namespace afterscope {

// Writes the training report of a case of the demo, as the report command would, beside the same operator's
// earlier recorded cases; they must have been made.
Status WriteDemoReport(const std::string& code, const DemoPlaces& places, const std::string& assets_folder,
                       const std::string& program_version, const Progress& progress, const StopQuery& stop,
                       FileSystem& files = RealFileSystem());

}  // namespace afterscope
