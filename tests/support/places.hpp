// SPDX-License-Identifier: Apache-2.0
#pragma once

namespace afterscope::places {

// Where the build put the program, and the repository's folders: absolute paths, known to one source file
// alone so that the objects of all others are the same in every checkout and a compiler cache serves them.
extern const char* const kProgram;
extern const char* const kTestSupport;
extern const char* const kTestData;
extern const char* const kAssets;

}  // namespace afterscope::places
