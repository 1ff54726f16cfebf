// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/html/html_text.hpp"
#include "annotate/report/safe_text.hpp"

#include <catch2/catch.hpp>

using namespace afterscope;

// The bidirectional controls are those of Unicode Standard Annex #9, section 2; RFC 3629 gives the malformed
// forms.

TEST_CASE("Controls that reorder or hide text become visible") {
  CHECK(SafeText("a\u202Eb") == "a[U+202E]b");
  CHECK(SafeText("\u2066x\u2069") == "[U+2066]x[U+2069]");
  CHECK(SafeText("\u200F") == "[U+200F]");
  CHECK(SafeText("\x1b[31m") == "[U+001B][31m");
  CHECK(SafeText(std::string("a\0b", 3)) == "a[U+0000]b");
  CHECK(SafeText("a\tb\r\nc") == "a b\nc");
}

TEST_CASE("What is not UTF-8 becomes the replacement character") {
  CHECK(SafeText("\xC0\xAF") == "\uFFFD\uFFFD");            // overlong
  CHECK(SafeText("\xED\xA0\x80") == "\uFFFD\uFFFD\uFFFD");  // a surrogate
  CHECK(SafeText("\xF5\x80\x80\x80") == "\uFFFD\uFFFD\uFFFD\uFFFD");
  CHECK(SafeText("caf\xC3") == "caf\uFFFD");  // cut short
}

TEST_CASE("Words of any script pass unchanged") {
  for (const std::string text : {"দ্বিতীয় যন্ত্র", "القرنية صافية", "Łódź naïve", "手术", "क्षत्रिय", "👁"})
    CHECK(SafeText(text) == text);
}

TEST_CASE("HTML has no markup from a text") {
  CHECK(EscapeHtml("<script>alert('x')</script>") == "&lt;script&gt;alert(&#39;x&#39;)&lt;/script&gt;");
  CHECK(EscapeHtml("\" onload=\"x") == "&quot; onload=&quot;x");
  CHECK(EscapeHtml("a & b") == "a &amp; b");
}

TEST_CASE("Base64 agrees with the vectors of RFC 4648, section 10") {
  CHECK(Base64("") == "");
  CHECK(Base64("f") == "Zg==");
  CHECK(Base64("fo") == "Zm8=");
  CHECK(Base64("foo") == "Zm9v");
  CHECK(Base64("foob") == "Zm9vYg==");
  CHECK(Base64("fooba") == "Zm9vYmE=");
  CHECK(Base64("foobar") == "Zm9vYmFy");
}

TEST_CASE("A long text keeps its first characters, whole ones, and says that it is shortened") {
  CHECK(Shortened("abc", 3, "…") == "abc");
  CHECK(Shortened("abcd", 3, "…") == "abc…");
  CHECK(Shortened("é\u0995\U0001F600d", 3, "…") == "é\u0995\U0001F600…");
  CHECK(Shortened("", 0, "…").empty());
}

// Unicode 15, chapter 23: characters of no width; U+200C and U+200D join letters of scripts.
TEST_CASE("Characters that can't be seen become visible, the joiners stay") {
  CHECK(SafeText("pass\u00ADword") == "pass[U+00AD]word");
  CHECK(SafeText("a\u200Bb\u2060c\u2064d") == "a[U+200B]b[U+2060]c[U+2064]d");
  CHECK(SafeText("x\U000E0041\U000E007F") == "x[U+E0041][U+E007F]");
  CHECK(SafeText("\u200C\u200D\u2065") == "\u200C\u200D\u2065");
}

TEST_CASE("JSON is the same with its controls escaped") {
  CHECK(EscapedJson("{\"a\u202E\": \"\u009B\x7F é\U000E0041\\n\"}\n") ==
        "{\"a\\u202e\": \"\\u009b\\u007f é\\udb40\\udc41\\n\"}\n");
}
