// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/media/video_writer.hpp"
#include "annotate/store/file_system.hpp"
#include "metrics/base/result.hpp"
#include "metrics/base/time.hpp"
#include "metrics/phantom/phantom.hpp"

#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// How a phantom is recorded.
struct PhantomFormat {
  WrittenVideo codec = WrittenVideo::kH264;
  WrittenContainer container = WrittenContainer::kMp4;
  Rational frame_rate{25, 1};
  bool variable_rate = false;  // frames a little early or late, and some left out
  std::string preset = "superfast";
  int crf = 24;
  std::int64_t bit_rate = 5'000'000;  // of MPEG-2
};

// The instants of all frames in seconds, from 0 on; the last one's duration is that of the one before.
std::vector<double> PhantomFrameTimes(double seconds, const PhantomFormat& format, std::uint64_t seed);

// Renders and encodes the phantom into as many files as there are paths, cut at even shares of its frames;
// every file's timestamps start anew. `frame_seconds` as PhantomFrameTimes gives them. Returns where each
// file starts in `frame_seconds`. Stopped, it leaves no unfinished file.
Result<std::vector<std::size_t>> RecordPhantom(const phantom::Phantom& phantom, const PhantomFormat& format,
                                               const std::vector<double>& frame_seconds,
                                               const std::vector<std::string>& paths,
                                               const Progress& progress, const StopQuery& stop,
                                               FileSystem& files = RealFileSystem());

// The same with the files starting at those frames. Between two files time may pass that is not recorded.
Status RecordPhantom(const phantom::Phantom& phantom, const PhantomFormat& format,
                     const std::vector<double>& frame_seconds, const std::vector<std::size_t>& starts,
                     const std::vector<std::string>& paths, const Progress& progress, const StopQuery& stop,
                     FileSystem& files = RealFileSystem());

// Which frame of the written files each instant became, from the files themselves: opens every one, and fails
// if it does not hold as many frames as were written. Also gives what the case record keeps of each.
struct PhantomFrames {
  std::vector<double> seconds;           // of each frame
  std::vector<FrameRef> refs;            // its identity
  std::vector<RecordingRef> recordings;  // paths as given
  // The first frame at or after that instant; the end of the last recording if there is none.
  FrameRef At(double instant) const;
  std::size_t IndexAt(double instant) const;
  // The instant of a frame; empty where it is none of them.
  std::optional<double> SecondsOf(FrameRef at) const;
};
Result<PhantomFrames> ReadBackPhantom(const std::vector<double>& frame_seconds,
                                      const std::vector<std::size_t>& starts,
                                      const std::vector<std::string>& paths, const StopQuery& stop);

}  // namespace afterscope
