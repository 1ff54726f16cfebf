// SPDX-License-Identifier: Apache-2.0
#include "annotate/exchange/timed_text.hpp"

#include <catch2/catch.hpp>

namespace afterscope {

// The forms that the W3C WebVTT specification's timestamp syntax allows and forbids.
TEST_CASE("WebVTT timestamps are read by the letter of the specification", "[exchange]") {
  CHECK(ParseWebVttTimestamp("00:00.000") == 0.0);
  CHECK(*ParseWebVttTimestamp("59:59.999") == Approx(3599.999));
  CHECK(ParseWebVttTimestamp("01:00:00.000") == 3600.0);
  CHECK(ParseWebVttTimestamp("100:00:00.000") == 360000.0);
  for (const char* wrong : {"60:00.000", "0:00.000", "1:00:00.000", "00:00,000", "00:00.00", "00:60.000", "",
                            ":", "00:00", "aa:bb.ccc", "00:00:00:00.000"})
    CHECK_FALSE(ParseWebVttTimestamp(wrong).has_value());
}

// Worked value: 3723.456 s is 1 h 2 min 3.456 s.
TEST_CASE("Timestamps are written", "[exchange]") {
  CHECK(FormatSubRipTimestamp(3723.456) == "01:02:03,456");
  CHECK(FormatWebVttTimestamp(3723.456) == "01:02:03.456");
  CHECK(FormatWebVttTimestamp(-1) == "00:00:00.000");
  CHECK(FormatWebVttTimestamp(59.9996) == "00:01:00.000");
}

TEST_CASE("WebVTT with notes, settings, tags and escapes is read", "[exchange]") {
  const auto timed = ReadTimedText(
      "\xEF\xBB\xBFWEBVTT title\r\n\r\nNOTE\r\nnothing\r\n\r\nfirst\r\n00:01.000 --> 00:04.500 "
      "align:start\r\n"
      "<v Her>The &lt;rhexis&gt;\r\nis <i>round</i> &amp; large\r\n\r\n00:05.000 --> 00:06.000\r\nnext\r\n");
  REQUIRE(timed.ok());
  REQUIRE(timed->cues.size() == 2);
  CHECK(timed->cues[0] == Cue{1.0, 4.5, "The <rhexis>\nis round & large"});
  CHECK(timed->cues[1] == Cue{5.0, 6.0, "next"});
  CHECK(timed->cautions.empty());
}

TEST_CASE("SubRip is read", "[exchange]") {
  const auto timed =
      ReadTimedText("1\n00:00:01,000 --> 00:00:02,500\nhello\n\n2\n01:02:03,456 --> 01:02:04,000\nworld\n");
  REQUIRE(timed.ok());
  REQUIRE(timed->cues.size() == 2);
  CHECK(timed->cues[1].start == Approx(3723.456));
  CHECK(timed->cues[0].text == "hello");
}

TEST_CASE("Lines that start with a time are read", "[exchange]") {
  const auto timed = ReadTimedText(
      "notes\n[1:02:03] chop\n12:34 - the rhexis\nand more\n(0:05) side port\n0:10 - 0:20 main\n");
  REQUIRE(timed.ok());
  REQUIRE(timed->cues.size() == 4);
  CHECK(timed->cues[0] == Cue{5.0, std::nullopt, "side port"});
  CHECK(timed->cues[1] == Cue{10.0, 20.0, "main"});
  CHECK(timed->cues[2] == Cue{754.0, std::nullopt, "the rhexis\nand more"});
  CHECK(timed->cues[3] == Cue{3723.0, std::nullopt, "chop"});
  CHECK(timed->cautions.size() == 2);  // the line without a time, and the order
}

TEST_CASE("Ends before their start are left out and said", "[exchange]") {
  const auto timed = ReadTimedText("WEBVTT\n\n00:05.000 --> 00:04.000\nwrong\n");
  REQUIRE(timed.ok());
  CHECK_FALSE(timed->cues[0].end.has_value());
  CHECK(timed->cautions.size() == 1);
}

TEST_CASE("What has no times, or is no text, is refused with a sentence", "[exchange]") {
  CHECK(ReadTimedText("").error().code == ErrorCode::kUnreadable);
  CHECK_FALSE(ReadTimedText("just words\nand more").ok());
  CHECK_FALSE(ReadTimedText(std::string("\0\0\0", 3)).ok());
  CHECK_FALSE(ReadTimedText("99999999999999:00 words").ok());
}

TEST_CASE("What is written is read back", "[exchange]") {
  const std::vector<Cue> cues{
      {0, 1.5, "a & b <c>"}, {2, std::nullopt, "one\n\ntwo"}, {9, std::nullopt, "last"}};
  const auto vtt = ReadTimedText(WriteWebVtt(cues));
  REQUIRE(vtt.ok());
  REQUIRE(vtt->cues.size() == 3);
  CHECK(vtt->cues[0].text == "a & b <c>");
  CHECK(vtt->cues[1] == Cue{2, 9, "one\ntwo"});
  CHECK(vtt->cues[2].end == 13.0);
  const auto srt = ReadTimedText(WriteSubRip({{0, 1.5, "plain"}, {2, 3, "lines\nof text"}}));
  REQUIRE(srt.ok());
  CHECK(srt->cues == std::vector<Cue>{{0, 1.5, "plain"}, {2, 3, "lines\nof text"}});
}

// Controls of ECMA-48 and the embeddings of Unicode Standard Annex #9; a mark of direction stays.
TEST_CASE("A caption that was written to do harm stays one caption", "[exchange]") {
  const std::string harm =
      "a\x1b[2J\xC2\x9B"
      "b \u202Ec\u2066\u200Fd\n\x01\n00:00:05,000 --> 00:00:06,000\n<i>e";
  const std::vector<Cue> cues{{1, 2, harm}, {3, 4, "after"}};
  for (const std::string& written : {WriteWebVtt(cues), WriteSubRip(cues)}) {
    INFO(written);
    const auto again = ReadTimedText(written);
    REQUIRE(again.ok());
    REQUIRE(again->cues.size() == 2);
    CHECK(again->cues[0].text.starts_with("a[2Jb c\u200Fd\n"));
    CHECK(again->cues[1].text == "after");
  }
}

TEST_CASE("Signs that open no tag stay, however many", "[exchange]") {
  const std::string signs(2'000'000, '<');
  const auto timed = ReadTimedText("WEBVTT\n\n00:00.000 --> 00:01.000\n<i>a</i>" + signs + "\n");
  REQUIRE(timed.ok());
  CHECK(timed->cues.at(0).text == "a" + signs);
}

TEST_CASE("SubRip's arrow is not written in a text", "[exchange]") {
  const std::string many(200'000, '-');
  const std::string written = WriteSubRip({{0, 1, "a -->-> b --" + many + "> c"}});
  CHECK(written == "1\n00:00:00,000 --> 00:00:01,000\na ->-> b -> c\n");
}

}  // namespace afterscope
