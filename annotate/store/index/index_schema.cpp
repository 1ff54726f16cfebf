// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/index/index_schema.hpp"

#include <fmt/format.h>

#include <vector>

namespace afterscope {
namespace {

using Steps = std::vector<const char*>;

// What has been released is never changed here; a change is a further version.
const std::vector<Steps>& Versions() {
  static const std::vector<Steps> versions{
      {
          "CREATE TABLE cases (id BIGINT PRIMARY KEY, folder TEXT NOT NULL UNIQUE, stamp TEXT NOT NULL, "
          "problem TEXT NOT NULL, code TEXT NOT NULL, date TEXT NOT NULL, eye TEXT NOT NULL, "
          "operation TEXT NOT NULL, step_list TEXT NOT NULL, operator_code TEXT NOT NULL, "
          "operator_role TEXT NOT NULL, supervisor_code TEXT NOT NULL, supervision_level TEXT NOT NULL, "
          "recorded_s DOUBLE PRECISION NOT NULL)",
          "CREATE TABLE case_words (case_id BIGINT NOT NULL, kind TEXT NOT NULL, name TEXT NOT NULL, "
          "value TEXT NOT NULL)",
          "CREATE INDEX case_words_of ON case_words (case_id)",
          "CREATE TABLE reviews (id BIGINT PRIMARY KEY, case_id BIGINT NOT NULL, review TEXT NOT NULL, "
          "reviewer_code TEXT NOT NULL, kind TEXT NOT NULL, is_signed BIGINT NOT NULL, "
          "changed TEXT NOT NULL, complications_known BIGINT NOT NULL)",
          "CREATE INDEX reviews_of ON reviews (case_id)",
          "CREATE TABLE visits (review_id BIGINT NOT NULL, place BIGINT NOT NULL, step TEXT NOT NULL, "
          "operator_code TEXT NOT NULL, taken_over BIGINT NOT NULL, start_s DOUBLE PRECISION NOT NULL, "
          "end_s DOUBLE PRECISION NOT NULL, recording BIGINT NOT NULL, ticks BIGINT NOT NULL)",
          "CREATE INDEX visits_of ON visits (review_id)",
          "CREATE TABLE moments (review_id BIGINT NOT NULL, place BIGINT NOT NULL, kind TEXT NOT NULL, "
          "item TEXT NOT NULL, words TEXT NOT NULL, operator_code TEXT NOT NULL, step TEXT NOT NULL, "
          "at_s DOUBLE PRECISION NOT NULL, recording BIGINT NOT NULL, ticks BIGINT NOT NULL)",
          "CREATE INDEX moments_of ON moments (review_id)",
          "CREATE TABLE findings (review_id BIGINT NOT NULL, name TEXT NOT NULL, step TEXT NOT NULL, "
          "operator_code TEXT NOT NULL, value DOUBLE PRECISION, low DOUBLE PRECISION NOT NULL, "
          "high DOUBLE PRECISION NOT NULL, unit TEXT NOT NULL, taken_over BIGINT NOT NULL, "
          "shared BIGINT NOT NULL, recording BIGINT, ticks BIGINT)",
          "CREATE INDEX findings_of ON findings (review_id)",
          "CREATE INDEX findings_named ON findings (name, step)",
          "CREATE TABLE finding_kinds (name TEXT NOT NULL, step TEXT NOT NULL, unit TEXT NOT NULL, "
          "PRIMARY KEY (name, step, unit))",
          "CREATE TABLE checks (review_id BIGINT NOT NULL, item TEXT NOT NULL, state TEXT NOT NULL)",
          "CREATE INDEX checks_of ON checks (review_id)",
      },
      {
          "CREATE TABLE scores (review_id BIGINT NOT NULL, sheet TEXT NOT NULL, item TEXT NOT NULL, "
          "value DOUBLE PRECISION)",
          "CREATE INDEX scores_of ON scores (review_id)",
      },
      {
          // The visits of a review in one row (visit_text.hpp); all cases are read again.
          "DROP TABLE visits",
          "CREATE TABLE visits (review_id BIGINT PRIMARY KEY, list TEXT NOT NULL)",
          "UPDATE cases SET stamp = ''",
      },
      {
          // Those of one kind, and one check of all cases, without reading the others.
          "CREATE INDEX moments_of_kind ON moments (kind, review_id, place)",
          "CREATE INDEX checks_of_item ON checks (item)",
      },
      {
          // What says which review counts, and which case was handed over; all cases are read again.
          "ALTER TABLE reviews DROP COLUMN changed",
          "ALTER TABLE reviews ADD COLUMN is_self BIGINT NOT NULL DEFAULT 0",
          "ALTER TABLE reviews ADD COLUMN version BIGINT NOT NULL DEFAULT 1",
          "ALTER TABLE reviews ADD COLUMN version_of TEXT NOT NULL DEFAULT ''",
          "ALTER TABLE reviews ADD COLUMN seal TEXT NOT NULL DEFAULT ''",
          "UPDATE cases SET stamp = ''",
      },
      {
          // A hand-over of the instruments begins no visit: counts of visits are made anew.
          "UPDATE cases SET stamp = ''",
      },
  };
  return versions;
}

// Fails where there are no tables yet.
Result<int> VersionOf(SqlDatabase& database) {
  int version = 0;
  AFTERSCOPE_TRY(database.Each("SELECT MAX(version) FROM index_version", {},
                               [&](const SqlRow& row) { version = static_cast<int>(row.Int(0)); }));
  return version;
}

Status Migrate(SqlDatabase& database) {
  AFTERSCOPE_TRY(database.Run("CREATE TABLE IF NOT EXISTS index_version (version BIGINT NOT NULL)"));
  AFTERSCOPE_ASSIGN(const int version, VersionOf(database));
  if (version > IndexVersion())
    return Error{ErrorCode::kUnreadable,
                 fmt::format("The index was made by a newer version of this program (its version is {}, this "
                             "program knows {}): give another file with --index.",
                             version, IndexVersion())};
  for (int next = version; next < IndexVersion(); ++next) {
    for (const char* step : Versions()[static_cast<std::size_t>(next)])
      AFTERSCOPE_TRY(database.Run(step, {}));
    AFTERSCOPE_TRY(database.Run("INSERT INTO index_version (version) VALUES ($1)",
                                {static_cast<std::int64_t>(next + 1)}));
  }
  return {};
}

}  // namespace

int IndexVersion() { return static_cast<int>(Versions().size()); }

Status MigrateIndex(SqlDatabase& database) {
  // Who only reads waits for no writer.
  if (const auto version = VersionOf(database); version.ok() && *version == IndexVersion()) return {};
  AFTERSCOPE_TRY(database.Begin());
  if (Status done = Migrate(database); !done.ok()) {
    database.Rollback();
    return done;
  }
  return database.Commit();
}

}  // namespace afterscope
