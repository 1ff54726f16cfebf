// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/store/index/sql_database.hpp"

namespace afterscope {

// Brings the tables to this version by numbered forward steps, in one transaction; a new file starts at 0.
// Refuses a file from a newer version.
Status MigrateIndex(SqlDatabase& database);

// The version that MigrateIndex brings a file to.
int IndexVersion();

}  // namespace afterscope
