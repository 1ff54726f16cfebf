// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/index/sql_database.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <bit>
#include <libpq-fe.h>
#include <map>
#include <optional>
#include <utility>

namespace afterscope {
namespace {

// Of all programs that write an index there, so that one writes at a time ("afterscp" as a number).
constexpr const char* kTakeWriterLock = "SELECT pg_advisory_xact_lock(7018984137838388080)";
constexpr const char* kWaitForWriter = "SET LOCAL lock_timeout = '10s'";
constexpr const char* kWaitToConnect = "10";  // seconds
constexpr int kMostQueued = 512;
constexpr std::size_t kMostGathered = 8U << 20;  // bytes of rows that wait to be copied
constexpr int kBinary = 1;

struct CloseConnection {
  void operator()(PGconn* connection) const { PQfinish(connection); }
};
struct ClearResult {
  void operator()(PGresult* result) const { PQclear(result); }
};
using Connection = std::unique_ptr<PGconn, CloseConnection>;
using Answer = std::unique_ptr<PGresult, ClearResult>;

class PostgresRow final : public SqlRow {
 public:
  explicit PostgresRow(const PGresult* result) : result_(result) {}
  void Next() { ++row_; }
  bool Null(int column) const override { return PQgetisnull(result_, row_, column) != 0; }
  std::int64_t Int(int column) const override { return static_cast<std::int64_t>(Bits(column)); }
  double Real(int column) const override { return std::bit_cast<double>(Bits(column)); }
  std::string_view Text(int column) const override {
    return {PQgetvalue(result_, row_, column), static_cast<std::size_t>(PQgetlength(result_, row_, column))};
  }

 private:
  // BIGINT and DOUBLE PRECISION are eight bytes, the highest first.
  std::uint64_t Bits(int column) const {
    std::uint64_t bits = 0;
    for (const char byte : Text(column)) bits = bits << 8U | static_cast<unsigned char>(byte);
    return bits;
  }

  const PGresult* result_;
  int row_ = 0;
};

std::optional<std::string> TextOf(const SqlValue& value) {
  if (const auto* text = std::get_if<std::string>(&value)) return *text;
  if (const auto* number = std::get_if<double>(&value)) return fmt::format("{}", *number);
  if (const auto* count = std::get_if<std::int64_t>(&value)) return fmt::format("{}", *count);
  return std::nullopt;
}

// A value as the text form of COPY has it. No text of a database holds the sign 0.
void AddCopied(const SqlValue& value, std::string& out) {
  const std::optional<std::string> text = TextOf(value);
  if (!text) {
    out += "\\N";
    return;
  }
  for (const char sign : *text) {
    constexpr std::string_view kApart = "\\\t\n\r";
    constexpr std::string_view kTold = "\\tnr";
    if (const auto at = kApart.find(sign); at != std::string_view::npos)
      out.append(1, '\\').append(1, kTold[at]);
    else if (sign != '\0')
      out += sign;
  }
}

// Parameters as libpq wants them; lives as long as the call that sends them.
class Parameters {
 public:
  explicit Parameters(const SqlValues& values) {
    for (const SqlValue& value : values) texts_.push_back(TextOf(value));
    for (const auto& text : texts_) pointers_.push_back(text ? text->c_str() : nullptr);
  }
  int count() const { return static_cast<int>(pointers_.size()); }
  const char* const* data() const { return pointers_.data(); }

 private:
  std::vector<std::optional<std::string>> texts_;
  std::vector<const char*> pointers_;
};

// Texts are sorted and compared by their bytes, as SQLite does, whatever the database's language.
std::string WithByteOrder(std::string sql) {
  if (!sql.starts_with("CREATE TABLE")) return sql;
  constexpr std::string_view kText = " TEXT";
  for (auto at = sql.find(kText); at != std::string::npos; at = sql.find(kText, at + 1))
    sql.insert(at + kText.size(), " COLLATE \"C\"");
  return sql;
}

std::string FirstLine(const char* message) {
  const std::string text = message ? message : "";
  return text.substr(0, text.find('\n'));
}

class PostgresDatabase final : public SqlDatabase {
 public:
  explicit PostgresDatabase(Connection connection) : connection_(std::move(connection)) {
    PQsetNoticeProcessor(
        connection_.get(), [](void*, const char*) {}, nullptr);
  }

  // Within a transaction statements without an answer are sent in rows, since each wait for the server costs
  // more than the statement; the next call that waits tells what went wrong with them.
  Status Run(const std::string& sql, const SqlValues& values) override {
    if (!in_transaction_) return Each(sql, values, [](const SqlRow&) {});
    AFTERSCOPE_TRY(CopyGathered());
    if (queued_ == 0 && PQenterPipelineMode(connection_.get()) == 0) return Failed();
    std::string& name = statements_[sql];
    if (name.empty()) {
      name = FreshName();
      if (PQsendPrepare(connection_.get(), name.c_str(), WithByteOrder(sql).c_str(), 0, nullptr) == 0)
        return Failed();
      ++queued_;
    }
    const Parameters parameters(values);
    if (PQsendQueryPrepared(connection_.get(), name.c_str(), parameters.count(), parameters.data(), nullptr,
                            nullptr, 0) == 0)
      return Failed();
    return ++queued_ < kMostQueued ? Status() : Settle();
  }

  // Rows are gathered and copied in at once: a statement for each costs the server ten times as much.
  Status Insert(const std::string& table, const SqlValues& row) override {
    auto found = std::find_if(gathered_.begin(), gathered_.end(),
                              [&](const GatheredRows& rows) { return rows.table == table; });
    if (found == gathered_.end()) found = gathered_.insert(found, {table, {}});
    const std::size_t before = found->rows.size();
    for (std::size_t i = 0; i < row.size(); ++i) {
      if (i > 0) found->rows += '\t';
      AddCopied(row[i], found->rows);
    }
    found->rows += '\n';
    gathered_bytes_ += found->rows.size() - before;
    return gathered_bytes_ < kMostGathered ? Status() : CopyGathered();
  }

  Status Each(const std::string& sql, const SqlValues& values,
              const std::function<void(const SqlRow&)>& row) override {
    AFTERSCOPE_TRY(CopyGathered());
    AFTERSCOPE_TRY(Settle());
    const Parameters parameters(values);
    const Answer answer(PQexecParams(connection_.get(), WithByteOrder(sql).c_str(), parameters.count(),
                                     nullptr, parameters.data(), nullptr, nullptr, kBinary));
    const ExecStatusType status = PQresultStatus(answer.get());
    if (status != PGRES_COMMAND_OK && status != PGRES_TUPLES_OK) return Failed();
    PostgresRow reader(answer.get());
    for (int left = PQntuples(answer.get()); left > 0; --left, reader.Next()) row(reader);
    return {};
  }

  Status Begin() override {
    AFTERSCOPE_TRY(Tell("BEGIN"));
    in_transaction_ = true;
    AFTERSCOPE_TRY(Tell(kWaitForWriter));
    if (Status locked = Tell(kTakeWriterLock); !locked.ok()) {
      Rollback();
      return locked;
    }
    return {};
  }

  Status Commit() override {
    AFTERSCOPE_TRY(CopyGathered());
    AFTERSCOPE_TRY(Settle());
    AFTERSCOPE_TRY(Tell("COMMIT"));
    in_transaction_ = false;
    return {};
  }

  void Rollback() override {
    ForgetGathered();
    static_cast<void>(Settle());
    static_cast<void>(Tell("ROLLBACK"));
    in_transaction_ = false;
  }

  Status LeaveNoLog() override { return {}; }  // its log is the server's

  // One or more statements without parameters.
  Status Tell(const char* sql) {
    const Answer answer(PQexec(connection_.get(), sql));
    const ExecStatusType status = PQresultStatus(answer.get());
    return status == PGRES_COMMAND_OK || status == PGRES_TUPLES_OK ? Status() : Failed();
  }

  Error Failed() const { return FailedWith(PQerrorMessage(connection_.get())); }

 private:
  struct GatheredRows {
    std::string table;
    std::string rows;  // in the text form of COPY
  };

  void ForgetGathered() {
    gathered_.clear();
    gathered_bytes_ = 0;
  }

  // In the order in which their tables were first named.
  Status CopyGathered() {
    if (gathered_.empty()) return {};
    AFTERSCOPE_TRY(Settle());  // nothing can be copied between statements that are under way
    const std::vector<GatheredRows> all = std::exchange(gathered_, {});
    ForgetGathered();
    for (const GatheredRows& rows : all) AFTERSCOPE_TRY(Copy(rows));
    return {};
  }

  Status Copy(const GatheredRows& rows) {
    const Answer begun(PQexec(connection_.get(), fmt::format("COPY {} FROM STDIN", rows.table).c_str()));
    if (PQresultStatus(begun.get()) != PGRES_COPY_IN) return Failed();
    if (PQputCopyData(connection_.get(), rows.rows.data(), static_cast<int>(rows.rows.size())) != 1 ||
        PQputCopyEnd(connection_.get(), nullptr) != 1)
      return Failed();
    Status done;
    while (const Answer answer{PQgetResult(connection_.get())})
      if (PQresultStatus(answer.get()) != PGRES_COMMAND_OK && done.ok())
        done = FailedWith(PQresultErrorMessage(answer.get()));
    return done;
  }

  // Never with the password that the address may hold.
  Error FailedWith(const char* message) const {
    const bool lost = PQstatus(connection_.get()) != CONNECTION_OK;
    return {
        lost ? ErrorCode::kUnreadable : ErrorCode::kUnwritable,
        fmt::format("Can't use the index in the PostgreSQL database '{}': {}.", Name(), FirstLine(message))};
  }

  std::string Name() const {
    const char* name = PQdb(connection_.get());
    return name ? name : "";
  }

  std::string FreshName() { return fmt::format("s{}", ++names_); }

  // Waits for what was sent, and says the first thing that went wrong with it.
  Status Settle() {
    if (std::exchange(queued_, 0) == 0) return {};
    Status done;
    if (PQpipelineSync(connection_.get()) == 0) return Failed();
    for (bool all = false; !all;) {
      const Answer answer(PQgetResult(connection_.get()));
      const ExecStatusType status = answer ? PQresultStatus(answer.get()) : PGRES_COMMAND_OK;
      if (status == PGRES_FATAL_ERROR && done.ok()) done = FailedWith(PQresultErrorMessage(answer.get()));
      all = status == PGRES_PIPELINE_SYNC || PQstatus(connection_.get()) != CONNECTION_OK;
    }
    if (!done.ok()) statements_.clear();  // some may not have been prepared
    if (PQexitPipelineMode(connection_.get()) == 0 && done.ok()) done = Failed();
    return done;
  }

  Connection connection_;
  bool in_transaction_ = false;
  int queued_ = 0;
  std::vector<GatheredRows> gathered_;
  std::size_t gathered_bytes_ = 0;
  std::int64_t names_ = 0;
  std::map<std::string, std::string> statements_;  // their names on the server
};

}  // namespace

Result<std::unique_ptr<SqlDatabase>> OpenPostgres(const std::string& address) {
  const char* const names[] = {"connect_timeout", "application_name", "dbname", "client_encoding", nullptr};
  const char* const values[] = {kWaitToConnect, "afterscope", address.c_str(), "UTF8", nullptr};
  auto database = std::make_unique<PostgresDatabase>(Connection(PQconnectdbParams(names, values, 1)));
  // Its own schema keeps the tables apart from those of others.
  AFTERSCOPE_TRY(database->Tell("CREATE SCHEMA IF NOT EXISTS afterscope"));
  AFTERSCOPE_TRY(database->Tell("SET search_path TO afterscope"));
  return std::unique_ptr<SqlDatabase>(std::move(database));
}

bool IsPostgresAddress(const std::string& path) {
  return path.starts_with("postgresql://") || path.starts_with("postgres://");
}

}  // namespace afterscope
