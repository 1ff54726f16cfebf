// SPDX-License-Identifier: Apache-2.0
#include "app/common/number_options.hpp"

#include "annotate/case/text.hpp"

#include <fmt/format.h>

#include <optional>
#include <string>
#include <string_view>

namespace afterscope {
namespace {

std::optional<double> Read(std::string_view text) {
  if (text.starts_with('+')) text.remove_prefix(1);
  return NumberFrom(text);
}

}  // namespace

CLI::Validator NumberWithin(double least, double most) {
  const std::string limits = fmt::format("{} to {}", least, most);
  return {[least, most, limits](std::string& text) {
            const auto number = Read(text);
            return number && *number >= least && *number <= most
                       ? std::string()
                       : fmt::format("'{}' is no number from {}", text, limits);
          },
          limits, ""};
}

CLI::Validator AnyNumber() {
  return {
      [](std::string& text) { return Read(text) ? std::string() : fmt::format("'{}' is no number", text); },
      "", ""};
}

}  // namespace afterscope
