// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/result.hpp"

#include <cstdint>
#include <functional>
#include <memory>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace afterscope {

// The little that the index asks of a database, which SQLite and PostgreSQL both stand behind. SQL is kept
// to what they share; parameters are $1, $2 ..., first used in that order.

using SqlValue = std::variant<std::nullptr_t, std::int64_t, double, std::string>;
using SqlValues = std::vector<SqlValue>;

// One row of a result; columns count from 0. A null reads as 0 or an empty text.
class SqlRow {
 public:
  virtual ~SqlRow() = default;
  virtual bool Null(int column) const = 0;
  virtual std::int64_t Int(int column) const = 0;
  virtual double Real(int column) const = 0;
  virtual std::string_view Text(int column) const = 0;  // valid until the next row
};

// Thread-compatible. Failures name the database. Within a transaction a failure of Run or Insert may be told
// by a later call, at the latest by Commit.
class SqlDatabase {
 public:
  virtual ~SqlDatabase() = default;
  virtual Status Run(const std::string& sql, const SqlValues& values = {}) = 0;
  // A row of all columns in their order, within a transaction. Rows of one table keep their order.
  virtual Status Insert(const std::string& table, const SqlValues& row) = 0;
  virtual Status Each(const std::string& sql, const SqlValues& values,
                      const std::function<void(const SqlRow&)>& row) = 0;
  // A transaction that writes: waits some seconds for another writer. Readers see what was before it.
  virtual Status Begin() = 0;
  virtual Status Commit() = 0;
  virtual void Rollback() = 0;
  // Outside a transaction: no file beside the database holds rows that were removed, where there can be such
  // a file. kUnwritable where another program still reads after some seconds.
  virtual Status LeaveNoLog() = 0;
};

// Opens or makes the file, its folder must exist: write-ahead log, synced at each commit, several readers
// beside one writer. kUnreadable where the file is no database.
Result<std::unique_ptr<SqlDatabase>> OpenSqlite(const std::string& path);

// Whether an index is meant that lies in a PostgreSQL database: "postgresql://..." or "postgres://...".
bool IsPostgresAddress(const std::string& path);
// Connects to the database of that address (libpq's form; waits up to 10 s) and works in its schema
// "afterscope", which it makes. One writer at a time, as with SQLite. kUnreadable without a connection.
Result<std::unique_ptr<SqlDatabase>> OpenPostgres(const std::string& address);

}  // namespace afterscope
