// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cassert>
#include <optional>
#include <string>
#include <utility>
#include <variant>

namespace afterscope {

// What kind of failure; each maps to the program's exit status of the same number.
enum class ErrorCode {
  kBadCall = 2,        // what was asked makes no sense
  kUnreadable = 3,     // nothing could be read of an input
  kNotComputable = 4,  // nothing of what was asked can be computed
  kUnwritable = 5,     // an output can't be written
  kStopped = 6,        // the user stopped it
};

// An expected failure: one sentence that says what could not be done, with which file or mark, why, and what
// to do. No trailing newline.
struct Error {
  ErrorCode code = ErrorCode::kBadCall;
  std::string message;
};
inline Error BadCall(std::string message) { return {ErrorCode::kBadCall, std::move(message)}; }

// A value or an Error. Reading the value of a failed result is a programmer's error and asserts.
template <class T>
class [[nodiscard]] Result {
 public:
  Result(T value)
      : state_(std::in_place_index<0>, std::move(value)) {}  // NOLINT(google-explicit-constructor)
  Result(Error error)
      : state_(std::in_place_index<1>, std::move(error)) {}  // NOLINT(google-explicit-constructor)

  bool ok() const { return state_.index() == 0; }
  explicit operator bool() const { return ok(); }

  T& value() & { return Checked(), std::get<0>(state_); }
  const T& value() const& { return Checked(), std::get<0>(state_); }
  T&& value() && { return Checked(), std::get<0>(std::move(state_)); }
  T& operator*() & { return value(); }
  const T& operator*() const& { return value(); }
  T&& operator*() && { return std::move(*this).value(); }
  T* operator->() { return &value(); }
  const T* operator->() const { return &value(); }

  const Error& error() const {
    assert(!ok());
    return std::get<1>(state_);
  }

 private:
  void Checked() const { assert(ok()); }
  std::variant<T, Error> state_;
};

// Success, or an Error.
template <>
class [[nodiscard]] Result<void> {
 public:
  Result() = default;
  Result(Error error) : error_(std::move(error)) {}  // NOLINT(google-explicit-constructor)

  bool ok() const { return !error_.has_value(); }
  explicit operator bool() const { return ok(); }
  const Error& error() const {
    assert(error_.has_value());
    return *error_;
  }

 private:
  std::optional<Error> error_;
};

using Status = Result<void>;

}  // namespace afterscope

// Leaves the enclosing function with the error of `expression` (a Status) if it failed.
#define AFTERSCOPE_TRY(expression)                                                                        \
  do {                                                                                                    \
    if (auto afterscope_status = (expression); !afterscope_status.ok()) return afterscope_status.error(); \
  } while (false)

#define AFTERSCOPE_JOIN_INNER(a, b) a##b
#define AFTERSCOPE_JOIN(a, b) AFTERSCOPE_JOIN_INNER(a, b)

// Declares `declaration` with the value of `expression` (a Result<T>), or leaves with its error.
#define AFTERSCOPE_ASSIGN(declaration, expression)                   \
  auto AFTERSCOPE_JOIN(afterscope_result_, __LINE__) = (expression); \
  if (!AFTERSCOPE_JOIN(afterscope_result_, __LINE__).ok())           \
    return AFTERSCOPE_JOIN(afterscope_result_, __LINE__).error();    \
  declaration = std::move(AFTERSCOPE_JOIN(afterscope_result_, __LINE__)).value()
