// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "tests/support/temporary_folder.hpp"

#include <memory>
#include <string>

namespace afterscope {

// A PostgreSQL server of its own in a fresh folder, reached by a socket there; stopped and removed at the
// end. As root it runs as the user of Debian's package, since the server refuses root.
class PostgresServer {
 public:
  // Null where Debian's package postgresql is not installed.
  static std::unique_ptr<PostgresServer> Start();
  ~PostgresServer();
  PostgresServer(const PostgresServer&) = delete;
  PostgresServer& operator=(const PostgresServer&) = delete;

  // The address of a fresh, empty database.
  std::string FreshDatabase();

 private:
  explicit PostgresServer(std::string programs);
  // With the server's programs, as its user, in its folder; whether it succeeded.
  bool Do(const std::string& command) const;

  std::string programs_;
  TemporaryFolder folder_;
  int databases_ = 0;
};

}  // namespace afterscope
