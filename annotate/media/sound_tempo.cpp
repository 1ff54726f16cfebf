// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/sound_tempo.hpp"

#include "annotate/media/helper/av.hpp"

#include <fmt/format.h>

#include <cstdint>
#include <cstring>
#include <utility>

extern "C" {
#include <libavfilter/avfilter.h>
#include <libavfilter/buffersink.h>
#include <libavfilter/buffersrc.h>
#include <libavutil/frame.h>
}

namespace afterscope {
namespace {

// The filter puts its pieces so much too early, in seconds of what goes in (measured, the mean from half to
// twice the tempo).
constexpr double kEarlySeconds = 0.0105;

struct FreeGraph {
  void operator()(AVFilterGraph* graph) const { avfilter_graph_free(&graph); }
};

AvPtr<AVFrame> FrameOf(std::span<const float> samples, std::int64_t first) {
  AvPtr<AVFrame> frame(av_frame_alloc());
  if (!frame) return nullptr;
  frame->format = AV_SAMPLE_FMT_FLT;
  frame->sample_rate = kSoundRate;
  frame->nb_samples = static_cast<int>(samples.size()) / kSoundChannels;
  frame->pts = first;
  av_channel_layout_default(&frame->ch_layout, kSoundChannels);
  if (av_frame_get_buffer(frame.get(), 0) < 0) return nullptr;
  std::memcpy(frame->data[0], samples.data(), samples.size() * sizeof(float));
  return frame;
}

}  // namespace

struct SoundTempo::Graph {
  std::unique_ptr<AVFilterGraph, FreeGraph> graph{avfilter_graph_alloc()};
  AVFilterContext* in = nullptr;
  AVFilterContext* out = nullptr;
  std::int64_t pushed = 0;
  std::size_t silence = 0;  // samples that come first

  bool Make(double tempo) {
    if (!graph) return false;
    silence = static_cast<std::size_t>(kEarlySeconds / tempo * kSoundRate) * kSoundChannels;
    graph->nb_threads = 1;
    const std::string form =
        fmt::format("sample_rate={0}:time_base=1/{0}:sample_fmt=flt:channel_layout=stereo", kSoundRate);
    AVFilterContext* stretch = nullptr;
    const auto add = [&](AVFilterContext*& filter, const char* name, const char* options) {
      return avfilter_graph_create_filter(&filter, avfilter_get_by_name(name), name, options, nullptr,
                                          graph.get()) >= 0;
    };
    return add(in, "abuffer", form.c_str()) && add(stretch, "atempo", fmt::format("{}", tempo).c_str()) &&
           add(out, "abuffersink", nullptr) && avfilter_link(in, 0, stretch, 0) >= 0 &&
           avfilter_link(stretch, 0, out, 0) >= 0 && avfilter_graph_config(graph.get(), nullptr) >= 0;
  }
  std::vector<float> Take() {
    std::vector<float> samples(std::exchange(silence, 0));
    const AvPtr<AVFrame> frame(av_frame_alloc());
    while (frame && av_buffersink_get_frame(out, frame.get()) >= 0) {
      const auto* from = reinterpret_cast<const float*>(frame->data[0]);
      samples.insert(samples.end(), from, from + std::ptrdiff_t{frame->nb_samples} * kSoundChannels);
      av_frame_unref(frame.get());
    }
    return samples;
  }
};

SoundTempo::SoundTempo(std::unique_ptr<Graph> graph) : graph_(std::move(graph)) {}
SoundTempo::~SoundTempo() = default;

Result<std::unique_ptr<SoundTempo>> SoundTempo::Make(double tempo) {
  if (!(tempo >= kSlowest && tempo <= kFastest))
    return Error{ErrorCode::kBadCall,
                 fmt::format("Sound can't be played at {} times its tempo: {} to {} keep its pitch.", tempo,
                             kSlowest, kFastest)};
  std::unique_ptr<Graph> graph;
  if (tempo != 1) {
    graph = std::make_unique<Graph>();
    if (!graph->Make(tempo))
      return Error{ErrorCode::kUnreadable, "This machine's libraries can't change the tempo of sound."};
  }
  return std::unique_ptr<SoundTempo>(new SoundTempo(std::move(graph)));
}

std::vector<float> SoundTempo::Push(std::span<const float> samples) {
  if (!graph_) return {samples.begin(), samples.end()};
  if (samples.empty()) return {};
  const AvPtr<AVFrame> frame = FrameOf(samples, graph_->pushed);
  if (!frame || av_buffersrc_add_frame(graph_->in, frame.get()) < 0) return {};
  graph_->pushed += static_cast<std::int64_t>(samples.size()) / kSoundChannels;
  return graph_->Take();
}

std::vector<float> SoundTempo::Finish() {
  if (!graph_) return {};
  if (av_buffersrc_add_frame(graph_->in, nullptr) < 0) return {};
  return graph_->Take();
}

}  // namespace afterscope
