// SPDX-License-Identifier: Apache-2.0
// Times of the index over generated cases (tests/bench/many_cases.hpp), one a line.
// Usage: index_bench WORK_FOLDER [CASES [POSTGRESQL_ADDRESS]]
// 500 cases by default; they are made once and kept. The index lies in a file in WORK_FOLDER, or in the
// schema "afterscope" of that database, which is emptied first.
#include "annotate/jobs/series/update_index.hpp"
#include "annotate/store/case_session.hpp"
#include "tests/bench/many_cases.hpp"

#include <fmt/format.h>
#include <sqlite3.h>

#include <chrono>
#include <cstdlib>
#include <ctime>
#include <filesystem>
#include <string>

using namespace afterscope;

namespace {

using Clock = std::chrono::steady_clock;

// By the clock, and of the processor: they differ on a machine that others use.
struct Spent {
  double clock = 0;
  double processor = 0;
};

template <class Work>
Spent SpentOn(Work work) {
  const auto start = Clock::now();
  const std::clock_t processor = std::clock();
  work();
  return {std::chrono::duration<double>(Clock::now() - start).count(),
          static_cast<double>(std::clock() - processor) / CLOCKS_PER_SEC};
}

template <class T>
T OrDie(Result<T> result) {
  if (result.ok()) return std::move(*result);
  fmt::print(stderr, "{}\n", result.error().message);
  std::exit(3);
}

IndexUpdate UpdateOrDie(CaseIndex& index, const std::string& folder) {
  return OrDie(UpdateIndex(index, folder, {}, {}));
}

std::unique_ptr<CaseIndex> FreshIndex(const std::string& where) {
  if (IsPostgresAddress(where)) {
    const auto database = OrDie(OpenPostgres(where));
    if (!database->Run("DROP SCHEMA afterscope CASCADE").ok()) std::exit(5);
  } else {
    for (const char* end : {"", "-wal", "-shm"}) std::filesystem::remove(where + end);
  }
  return OrDie(CaseIndex::Open(where));
}

void ChangeOne(const std::string& folder) {
  auto session = OrDie(CaseSession::Open(folder, {}));
  const EditGroup change{"Change", {SetCaseField{"extra.touched", fmt::format("{}", std::rand())}}};
  if (!session->Commit(change).ok()) std::exit(5);
}

void Queries(CaseIndex& index, const std::string& folder) {
  const auto timed = [](const char* what, auto query) {
    std::size_t rows = 0;
    const Spent spent = SpentOn([&] { rows = query(); });
    fmt::print("query, {}: {:.1f} ms (processor {:.1f} ms), {} rows\n", what, spent.clock * 1000,
               spent.processor * 1000, rows);
  };
  timed("cases", [&] { return OrDie(index.CasesUnder(folder)).size(); });
  timed("time of a step", [&] { return OrDie(index.Values("time.step_total", "rhexis")).size(); });
  timed("a finding", [&] { return OrDie(index.Values("rhexis.diameter_equivalent", "")).size(); });
  timed("complications", [&] { return OrDie(index.Moments("complication")).size(); });
  timed("kinds of findings", [&] { return OrDie(index.Measures()).size(); });
  timed("all visits", [&] { return OrDie(index.Visits()).size(); });
}

// The visits' table read by the library alone, every row of it.
void BareQuery(const std::string& file) {
  sqlite3* database = nullptr;
  sqlite3_stmt* all = nullptr;
  if (sqlite3_open(file.c_str(), &database) != SQLITE_OK ||
      sqlite3_prepare_v2(database, "SELECT review_id, list FROM visits", -1, &all, nullptr) != SQLITE_OK)
    std::exit(5);
  std::size_t rows = 0, bytes = 0;
  const Spent spent = SpentOn([&] {
    for (; sqlite3_step(all) == SQLITE_ROW; ++rows) {
      sqlite3_column_text(all, 1);
      bytes += static_cast<std::size_t>(sqlite3_column_bytes(all, 1));
    }
  });
  fmt::print("bare library, all visits: {:.1f} ms, {} rows, {} bytes\n", spent.clock * 1000, rows, bytes);
  sqlite3_finalize(all);
  sqlite3_close(database);
}

}  // namespace

int main(int argc, char** argv) {
  if (argc < 2) return 2;
  const std::string work = std::filesystem::absolute(argv[1]).string();
  const int count = argc > 2 ? std::atoi(argv[2]) : 500;
  const std::string folder = fmt::format("{}/cases-{}", work, count);
  if (!std::filesystem::exists(folder))
    fmt::print("made {} cases in {:.1f} s\n", count, SpentOn([&] { MakeManyCases(folder, count); }).clock);
  auto index = FreshIndex(argc > 3 ? argv[3] : work + "/index.sqlite");
  const Spent built = SpentOn([&] { UpdateOrDie(*index, folder); });
  fmt::print("built: {:.1f} s (processor {:.1f} s), {:.0f} cases/s\n", built.clock, built.processor,
             count / built.clock);
  const Spent again = SpentOn([&] { UpdateOrDie(*index, folder); });
  fmt::print("looked at again: {:.3f} s (processor {:.3f} s)\n", again.clock, again.processor);
  ChangeOne(folder + "/00007");
  IndexUpdate update;
  const Spent changed = SpentOn([&] { update = UpdateOrDie(*index, folder); });
  fmt::print("after one change: {:.3f} s (processor {:.3f} s), {} of {} read\n", changed.clock,
             changed.processor, update.read, update.cases);
  Queries(*index, folder);
  if (argc <= 3) BareQuery(work + "/index.sqlite");
}
