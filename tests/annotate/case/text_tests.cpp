// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/text.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cctype>
#include <set>
#include <string>

namespace afterscope {

TEST_CASE("A folder named by a stranger's words stays where it is put, whatever they are", "[case]") {
  const std::string zero("a\0b", 3);
  for (const std::string& words :
       {std::string("../../etc/passwd"), std::string("/etc"), std::string(".."), std::string("a\x1b[2Jb\n\t"),
        std::string("\xE2\x80\xAE"
                    "fdp.exe"),
        std::string("\xff\xfe"), std::string("C:\\x|y*?<>"), std::string("-rf $(x) `y`"),
        std::string(5000, 'x'), std::string("=1+1"), zero, std::string()}) {
    const std::string name = FolderNameOf(words);
    INFO(words << " -> " << name);
    CHECK_FALSE(name.empty());
    CHECK(name.size() <= 100);
    CHECK(std::all_of(name.begin(), name.end(), [](unsigned char c) {
      return (c < 0x80 && std::isalnum(c) != 0) || c == '-' || c == '_';
    }));
  }
  CHECK(FolderNameOf("") == "case");
  CHECK(FolderNameOf("S02-318_b") == "S02-318_b");
}

TEST_CASE("Names that come out alike are told apart", "[case]") {
  std::set<std::string> taken;
  CHECK(TakeName(FolderNameOf("a/b"), taken) == "a-b");
  CHECK(TakeName(FolderNameOf("a:b"), taken) == "a-b-2");
  CHECK(TakeName(FolderNameOf("a b"), taken) == "a-b-3");
}

}  // namespace afterscope
