// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/index/sql_database.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <sqlite3.h>

#include <map>
#include <utility>

namespace afterscope {
namespace {

constexpr int kWaitMs = 10'000;
constexpr int kWaitForReadersMs = 2'000;

struct CloseStatement {
  void operator()(sqlite3_stmt* statement) const { sqlite3_finalize(statement); }
};
using Statement = std::unique_ptr<sqlite3_stmt, CloseStatement>;

struct CloseDatabase {
  void operator()(sqlite3* database) const { sqlite3_close(database); }
};

// Resets a statement at the end of its use, so that it holds no lock and no text.
class Use {
 public:
  explicit Use(sqlite3_stmt* statement) : statement_(statement) {}
  Use(const Use&) = delete;
  Use& operator=(const Use&) = delete;
  ~Use() {
    sqlite3_reset(statement_);
    sqlite3_clear_bindings(statement_);
  }

 private:
  sqlite3_stmt* statement_;
};

class SqliteRow final : public SqlRow {
 public:
  explicit SqliteRow(sqlite3_stmt* statement) : statement_(statement) {}
  bool Null(int column) const override { return sqlite3_column_type(statement_, column) == SQLITE_NULL; }
  std::int64_t Int(int column) const override { return sqlite3_column_int64(statement_, column); }
  double Real(int column) const override { return sqlite3_column_double(statement_, column); }
  std::string_view Text(int column) const override {
    const auto* text = reinterpret_cast<const char*>(sqlite3_column_text(statement_, column));
    return text ? std::string_view(text, static_cast<std::size_t>(sqlite3_column_bytes(statement_, column)))
                : std::string_view();
  }

 private:
  sqlite3_stmt* statement_;
};

int Bind(sqlite3_stmt* statement, int place, const SqlValue& value) {
  if (const auto* text = std::get_if<std::string>(&value))
    return sqlite3_bind_text(statement, place, text->data(), static_cast<int>(text->size()), SQLITE_STATIC);
  if (const auto* number = std::get_if<double>(&value)) return sqlite3_bind_double(statement, place, *number);
  if (const auto* count = std::get_if<std::int64_t>(&value))
    return sqlite3_bind_int64(statement, place, *count);
  return sqlite3_bind_null(statement, place);
}

class SqliteDatabase final : public SqlDatabase {
 public:
  SqliteDatabase(sqlite3* database, std::string path) : database_(database), path_(std::move(path)) {}

  Status Run(const std::string& sql, const SqlValues& values) override {
    return Each(sql, values, [](const SqlRow&) {});
  }

  Status Each(const std::string& sql, const SqlValues& values,
              const std::function<void(const SqlRow&)>& row) override {
    AFTERSCOPE_ASSIGN(sqlite3_stmt* const statement, Prepared(sql));
    const Use use(statement);
    for (std::size_t i = 0; i < values.size(); ++i)
      if (Bind(statement, static_cast<int>(i) + 1, values[i]) != SQLITE_OK) return Failed();
    const SqliteRow reader(statement);
    int code = sqlite3_step(statement);
    for (; code == SQLITE_ROW; code = sqlite3_step(statement)) row(reader);
    return code == SQLITE_DONE ? Status() : Failed();
  }

  Status Insert(const std::string& table, const SqlValues& row) override {
    std::string& sql = inserts_[table];
    if (sql.empty()) {
      std::vector<std::string> places;
      for (std::size_t i = 1; i <= row.size(); ++i) places.push_back(fmt::format("${}", i));
      sql = fmt::format("INSERT INTO {} VALUES ({})", table, fmt::join(places, ","));
    }
    return Run(sql, row);
  }

  Status Begin() override { return Run("BEGIN IMMEDIATE", {}); }
  Status Commit() override { return Run("COMMIT", {}); }
  void Rollback() override { static_cast<void>(Run("ROLLBACK", {})); }

  Status LeaveNoLog() override {
    bool busy = false;
    sqlite3_busy_timeout(database_.get(), kWaitForReadersMs);
    Status done =
        Each("PRAGMA wal_checkpoint(TRUNCATE)", {}, [&](const SqlRow& row) { busy = row.Int(0) != 0; });
    sqlite3_busy_timeout(database_.get(), kWaitMs);
    if (!done.ok() || !busy) return done;
    return Error{ErrorCode::kUnwritable,
                 fmt::format("The log of the index '{}' still holds what was taken out, because another "
                             "program is reading it; do it again once that has ended.",
                             path_)};
  }

  Error Failed() const {
    const int code = sqlite3_errcode(database_.get()) & 0xFF;
    const bool damaged = code == SQLITE_NOTADB || code == SQLITE_CORRUPT;
    return {
        damaged ? ErrorCode::kUnreadable : ErrorCode::kUnwritable,
        fmt::format("Can't use the index '{}': {}{}.", path_, sqlite3_errmsg(database_.get()),
                    damaged ? "; if it was one, remove it, and it is made again from the case folders" : "")};
  }

 private:
  Result<sqlite3_stmt*> Prepared(const std::string& sql) {
    Statement& statement = statements_[sql];
    if (!statement) {
      sqlite3_stmt* made = nullptr;
      if (sqlite3_prepare_v2(database_.get(), sql.c_str(), -1, &made, nullptr) != SQLITE_OK) return Failed();
      statement.reset(made);
    }
    return statement.get();
  }

  std::unique_ptr<sqlite3, CloseDatabase> database_;
  std::string path_;
  std::map<std::string, Statement> statements_;  // destroyed before the database
  std::map<std::string, std::string> inserts_;   // by table
};

}  // namespace

Result<std::unique_ptr<SqlDatabase>> OpenSqlite(const std::string& path) {
  sqlite3* raw = nullptr;
  const int code = sqlite3_open_v2(path.c_str(), &raw,
                                   SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE | SQLITE_OPEN_NOMUTEX, nullptr);
  auto database = std::make_unique<SqliteDatabase>(raw, path);
  if (code != SQLITE_OK) return database->Failed();
  sqlite3_busy_timeout(raw, kWaitMs);
  for (const char* pragma : {"PRAGMA journal_mode=WAL", "PRAGMA synchronous=FULL", "PRAGMA cache_size=-65536",
                             "PRAGMA temp_store=MEMORY", "PRAGMA secure_delete=ON"})
    AFTERSCOPE_TRY(database->Run(pragma, {}));
  return std::unique_ptr<SqlDatabase>(std::move(database));
}

}  // namespace afterscope
