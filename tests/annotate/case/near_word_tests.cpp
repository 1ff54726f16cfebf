// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/near_word.hpp"

#include <catch2/catch.hpp>

namespace afterscope {

TEST_CASE("A word that a slip was meant for is found, and none where nothing is near", "[case]") {
  const std::vector<std::string> words{"rhexis", "lens", "lens_implantation", "posterior_capsule_rupture",
                                       "posterior_capsule_rupture_vitreous"};
  CHECK(NearWord("rexis", words) == "rhexis");
  CHECK(NearWord("rhexsi", words) == "rhexis");  // two swapped
  CHECK(NearWord("posterior_capsule_ruptur", words) == "posterior_capsule_rupture");
  CHECK(NearWord("lens_implantaton", words) == "lens_implantation");
  CHECK(NearWord("rhexis", words).empty());
  CHECK(NearWord("vitrectomy", words).empty());
  CHECK(NearWord("le", words).empty());  // too short for a slip
  CHECK(NearWord("", words).empty());
}

}  // namespace afterscope
