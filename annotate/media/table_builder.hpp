// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/media/helper_client.hpp"
#include "annotate/media/table_data.hpp"
#include "metrics/base/time.hpp"

#include <functional>
#include <memory>
#include <vector>

namespace afterscope {

// Gets better and better tables.
using TableListener = std::function<void(std::shared_ptr<const TableData>)>;

// Reads all packets (told to `listener`), then decodes all frames from the beginning, in a helper of its own,
// and returns the final table. Progress: share of the whole work, by time. Decoding waits while `hold` says
// so. Blocks.
Result<std::shared_ptr<const TableData>> BuildTable(HelperTask task, const TableListener& listener,
                                                    const Progress& progress, const StopQuery& hold,
                                                    const StopQuery& stop);

}  // namespace afterscope
