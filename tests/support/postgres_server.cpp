// SPDX-License-Identifier: Apache-2.0
#include "tests/support/postgres_server.hpp"

#include <cstdlib>
#include <filesystem>
#include <stdexcept>
#include <unistd.h>

namespace afterscope {
namespace {

namespace fs = std::filesystem;

// Debian keeps the server's programs in a folder a version; the newest one counts.
std::string ServerPrograms() {
  std::string newest;
  std::error_code none;
  for (const auto& version : fs::directory_iterator("/usr/lib/postgresql", none)) {
    const fs::path programs = version.path() / "bin";
    if (fs::exists(programs / "initdb", none) && programs.string() > newest) newest = programs.string();
  }
  return newest;
}

bool Ran(const std::string& command) { return std::system(command.c_str()) == 0; }

}  // namespace

std::unique_ptr<PostgresServer> PostgresServer::Start() {
  const std::string programs = ServerPrograms();
  if (programs.empty()) return nullptr;
  return std::unique_ptr<PostgresServer>(new PostgresServer(programs));
}

PostgresServer::PostgresServer(std::string programs) : programs_(std::move(programs)) {
  if (geteuid() == 0 && !Ran("chown postgres " + folder_.path()))
    throw std::runtime_error("no user 'postgres'");
  if (!Do("initdb -D data -U tester -A trust -E UTF8 --locale=C.UTF-8 --no-sync >log") ||
      !Do("pg_ctl -D data -w -t 60 -l log -o \"-c listen_addresses= -c fsync=off -k " + folder_.path() +
          "\" start >>log"))
    throw std::runtime_error("PostgreSQL did not start; see " + folder_.path() + "/log");
}

PostgresServer::~PostgresServer() { static_cast<void>(Do("pg_ctl -D data -m immediate stop >>log")); }

bool PostgresServer::Do(const std::string& command) const {
  const std::string here = "cd " + folder_.path() + " && PATH=" + programs_ + ":$PATH && " + command;
  if (geteuid() != 0) return Ran(here);
  return Ran("setpriv --reuid=postgres --regid=postgres --clear-groups sh -c '" + here + "'");
}

std::string PostgresServer::FreshDatabase() {
  const std::string name = "d" + std::to_string(++databases_);
  if (!Do("createdb -h " + folder_.path() + " -U tester " + name)) throw std::runtime_error("no database");
  return "postgresql://tester@/" + name + "?host=" + folder_.path();
}

}  // namespace afterscope
