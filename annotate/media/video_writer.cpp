// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/video_writer.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>
#include <vector>

extern "C" {
#include <libavcodec/avcodec.h>
#include <libavutil/log.h>
#include <libavutil/opt.h>
}

#include "annotate/media/av_output.hpp"
#include "annotate/media/helper/av.hpp"
#include "annotate/media/mp4_chapters.hpp"

namespace afterscope {
namespace {

AVRational Of(Rational r) { return {static_cast<int>(r.num), static_cast<int>(r.den)}; }

AVPixelFormat Of(PixelFormat format) {
  switch (format) {
    case PixelFormat::kGray8:
      return AV_PIX_FMT_GRAY8;
    case PixelFormat::kYuv420:
      return AV_PIX_FMT_YUV420P;
    case PixelFormat::kYuv422:
      return AV_PIX_FMT_YUV422P;
    case PixelFormat::kYuv444:
      return AV_PIX_FMT_YUV444P;
    case PixelFormat::kYuv420P10:
      return AV_PIX_FMT_YUV420P10LE;
    case PixelFormat::kYuv422P10:
      return AV_PIX_FMT_YUV422P10LE;
    case PixelFormat::kYuv444P10:
      return AV_PIX_FMT_YUV444P10LE;
  }
  return AV_PIX_FMT_NONE;
}

// H.273 code points; what BT.601 material is tagged with is that of 625-line video.
void TagColors(const VideoSettings& settings, AVCodecContext& codec) {
  codec.color_range = settings.range == ColorRange::kFull ? AVCOL_RANGE_JPEG : AVCOL_RANGE_MPEG;
  switch (settings.matrix) {
    case ColorMatrix::kBt601:
      codec.colorspace = AVCOL_SPC_BT470BG;
      codec.color_primaries = AVCOL_PRI_BT470BG;
      codec.color_trc = AVCOL_TRC_SMPTE170M;
      break;
    case ColorMatrix::kBt709:
      codec.colorspace = AVCOL_SPC_BT709;
      codec.color_primaries = AVCOL_PRI_BT709;
      codec.color_trc = AVCOL_TRC_BT709;
      break;
    case ColorMatrix::kBt2020:
      codec.colorspace = AVCOL_SPC_BT2020_NCL;
      codec.color_primaries = AVCOL_PRI_BT2020;
      codec.color_trc = AVCOL_TRC_BT2020_10;
      break;
  }
}

const char* MuxerName(WrittenContainer container) {
  switch (container) {
    case WrittenContainer::kMp4:
      return "mp4";
    case WrittenContainer::kMpegTs:
      return "mpegts";
    case WrittenContainer::kMpegPs:
      return "vob";
    case WrittenContainer::kWebM:
      return "webm";
  }
  return "";
}

std::string FaultOf(const VideoSettings& v, const std::optional<SoundSettings>& s) {
  if (v.width < 16 || v.height < 16 || v.width > 8192 || v.height > 8192)
    return "the picture's size is out of range";
  if (v.format == PixelFormat::kYuv420 && (v.width % 2 != 0 || v.height % 2 != 0))
    return "width and height must be even";
  if (!v.time_base.valid() || !v.frame_rate.valid() || !v.pixel_aspect.valid())
    return "a rate is not positive";
  if (v.codec != WrittenVideo::kMpeg2 && (v.crf < 0 || v.crf > 51))
    return "the quality must be between 0 and 51";
  if ((v.container == WrittenContainer::kWebM) != (v.codec == WrittenVideo::kVp9))
    return "WebM and VP9 go together";
  if (s && (s->sample_rate < 8000 || s->channels < 1 || s->channels > 2))
    return "sound must be mono or stereo";
  return {};
}

const AVCodec* PictureEncoder(WrittenVideo codec) {
  switch (codec) {
    case WrittenVideo::kH264:
      return avcodec_find_encoder_by_name("libx264");
    case WrittenVideo::kMpeg2:
      return avcodec_find_encoder(AV_CODEC_ID_MPEG2VIDEO);
    case WrittenVideo::kVp9:
      return avcodec_find_encoder_by_name("libvpx-vp9");
  }
  return nullptr;
}

const AVCodec* SoundEncoder(WrittenContainer container) {
  if (container == WrittenContainer::kWebM) return avcodec_find_encoder_by_name("libopus");
  return avcodec_find_encoder(container == WrittenContainer::kMpegPs ? AV_CODEC_ID_MP2 : AV_CODEC_ID_AAC);
}

// How hard the encoder tries, and for what.
void SetEffort(const VideoSettings& video, AVCodecContext& c) {
  if (video.codec == WrittenVideo::kMpeg2) {
    c.bit_rate = c.rc_max_rate = video.bit_rate;
    c.rc_buffer_size =
        1835008;  // what a decoder of main profile at main level has (ISO/IEC 13818-2, table 8-13)
    return;
  }
  av_opt_set(c.priv_data, "crf", std::to_string(video.crf).c_str(), 0);
  if (video.codec == WrittenVideo::kH264) {
    av_opt_set(c.priv_data, "preset", video.preset.c_str(), 0);
    return;
  }
  c.bit_rate = 0;  // constant quality alone
  av_opt_set(c.priv_data, "deadline", "good", 0);
  av_opt_set(c.priv_data, "cpu-used", "4", 0);
  av_opt_set(c.priv_data, "row-mt", "1", 0);
}

// One stream: its encoder and the durations of what is on its way through it.
struct Track {
  AvPtr<AVCodecContext> codec;
  AVStream* stream = nullptr;
  std::map<std::int64_t, std::int64_t> durations;
};

}  // namespace

struct VideoWriter::State {
  std::string path;
  VideoSettings video;
  std::optional<SoundSettings> sound;
  std::unique_ptr<AvOutput> output;  // outlives the muxer
  AvMuxerPtr muxer;
  Track pictures;
  Track samples;
  std::vector<float> waiting;  // samples that do not fill a sound frame yet
  std::int64_t samples_sent = 0;
  std::optional<Pts> last;
  bool finished = false;

  Error Failed(const char* doing, int code) const {
    if (!output->failure().ok()) return output->failure().error();
    return {ErrorCode::kUnwritable,
            fmt::format("The video {} could not be written: {} ({}).", path, doing, AvText(code))};
  }
  Status Open();
  Status OpenPictures();
  Status OpenSound();
  Status AddChapters();
  Status Close();
  Status AddStream(Track& track);
  Status Encode(Track& track, const AVFrame* frame);
  Status EncodeSound(int count);
};

Status VideoWriter::State::AddStream(Track& track) {
  track.stream = avformat_new_stream(muxer.get(), nullptr);
  if (!track.stream) return Failed("no memory", AVERROR(ENOMEM));
  track.stream->time_base = track.codec->time_base;
  const int code = avcodec_parameters_from_context(track.stream->codecpar, track.codec.get());
  return code < 0 ? Status(Failed("its parameters do not fit the container", code)) : Status();
}

Status VideoWriter::State::OpenPictures() {
  const AVCodec* codec = PictureEncoder(video.codec);
  if (!codec) return Failed("this machine's libraries lack the encoder", AVERROR_ENCODER_NOT_FOUND);
  pictures.codec.reset(avcodec_alloc_context3(codec));
  AVCodecContext& c = *pictures.codec;
  c.width = video.width;
  c.height = video.height;
  c.pix_fmt = Of(video.format);
  // MPEG-2 knows frame rates only.
  c.time_base = video.codec == WrittenVideo::kMpeg2 ? av_inv_q(Of(video.frame_rate)) : Of(video.time_base);
  c.framerate = Of(video.frame_rate);
  c.sample_aspect_ratio = Of(video.pixel_aspect);
  c.gop_size = video.key_interval;
  c.max_b_frames = video.b_pictures;
  c.thread_count = video.threads;
  TagColors(video, c);
  if (muxer->oformat->flags & AVFMT_GLOBALHEADER) c.flags |= AV_CODEC_FLAG_GLOBAL_HEADER;
  if (video.fields != FieldOrder::kProgressive) {
    c.flags |= AV_CODEC_FLAG_INTERLACED_DCT | AV_CODEC_FLAG_INTERLACED_ME;
    c.field_order = video.fields == FieldOrder::kTopFirst ? AV_FIELD_TT : AV_FIELD_BB;
  }
  SetEffort(video, c);
  const int code = avcodec_open2(&c, codec, nullptr);
  if (code < 0) return Failed("the encoder refuses the settings", code);
  AFTERSCOPE_TRY(AddStream(pictures));
  pictures.stream->avg_frame_rate = c.framerate;
  pictures.stream->sample_aspect_ratio = c.sample_aspect_ratio;
  return {};
}

Status VideoWriter::State::OpenSound() {
  const AVCodec* codec = SoundEncoder(video.container);
  if (!codec) return Failed("this machine's libraries lack the sound encoder", AVERROR_ENCODER_NOT_FOUND);
  samples.codec.reset(avcodec_alloc_context3(codec));
  AVCodecContext& c = *samples.codec;
  c.sample_rate = sound->sample_rate;
  c.sample_fmt = codec->id == AV_CODEC_ID_AAC ? AV_SAMPLE_FMT_FLTP : AV_SAMPLE_FMT_S16;
  c.bit_rate = sound->bit_rate;
  c.time_base = {1, sound->sample_rate};
  av_channel_layout_default(&c.ch_layout, sound->channels);
  if (muxer->oformat->flags & AVFMT_GLOBALHEADER) c.flags |= AV_CODEC_FLAG_GLOBAL_HEADER;
  c.flags |= AV_CODEC_FLAG_BITEXACT;
  const int code = avcodec_open2(&c, codec, nullptr);
  if (code < 0) return Failed("the sound encoder refuses the settings", code);
  return AddStream(samples);
}

Status VideoWriter::State::AddChapters() {
  const std::size_t count = video.chapters.size();
  if (count == 0 || video.container != WrittenContainer::kWebM) return {};
  muxer->chapters = static_cast<AVChapter**>(av_calloc(count, sizeof(AVChapter*)));
  if (!muxer->chapters) return Failed("no memory", AVERROR(ENOMEM));
  for (const WrittenChapter& chapter : video.chapters) {
    auto* const entry = static_cast<AVChapter*>(av_mallocz(sizeof(AVChapter)));
    if (!entry) return Failed("no memory", AVERROR(ENOMEM));
    muxer->chapters[muxer->nb_chapters] = entry;
    entry->id = ++muxer->nb_chapters;
    entry->time_base = {1, 1000};
    entry->start = std::llround(chapter.start * 1000);
    entry->end = std::llround(chapter.end * 1000);
    av_dict_set(&entry->metadata, "title", chapter.title.c_str(), 0);
  }
  return {};
}

Status VideoWriter::State::Open() {
  AVFormatContext* context = nullptr;
  const int made = avformat_alloc_output_context2(&context, nullptr, MuxerName(video.container), nullptr);
  if (made < 0) return Failed("this machine's libraries lack the container", made);
  muxer.reset(context);
  muxer->pb = output->io();
  muxer->flags |=
      AVFMT_FLAG_CUSTOM_IO | AVFMT_FLAG_BITEXACT;  // bit-exact: no name of a program, no time of day
  AFTERSCOPE_TRY(OpenPictures());
  if (sound) AFTERSCOPE_TRY(OpenSound());
  AFTERSCOPE_TRY(AddChapters());
  const int code = avformat_write_header(muxer.get(), nullptr);
  return code < 0 ? Status(Failed("the container refuses the streams", code)) : Status();
}

// Of an MP4 the movie box comes last; it is written once more, with its chapters.
Status VideoWriter::State::Close() {
  AVIOContext* const io = muxer->pb;
  const bool chapters = video.container == WrittenContainer::kMp4 && !video.chapters.empty();
  int code = av_interleaved_write_frame(muxer.get(), nullptr);
  avio_flush(io);
  const std::int64_t movie_place = avio_tell(io);
  if (chapters) output->CopyFrom(movie_place);
  if (code >= 0) code = av_write_trailer(muxer.get());
  if (code < 0) return Failed("closing failed", code);
  if (!chapters) return {};
  const std::string movie = MovieWithChapters(output->copy(), video.chapters);
  if (movie.empty()) return Failed("the container has no place for chapters", AVERROR_BUG);
  avio_seek(io, movie_place, SEEK_SET);
  avio_write(io, reinterpret_cast<const unsigned char*>(movie.data()), static_cast<int>(movie.size()));
  avio_flush(io);
  return io->error < 0 ? Status(Failed("closing failed", io->error)) : Status();
}

Status VideoWriter::State::Encode(Track& track, const AVFrame* frame) {
  int code = avcodec_send_frame(track.codec.get(), frame);
  if (code < 0) return Failed("encoding failed", code);
  const AvPtr<AVPacket> packet(av_packet_alloc());
  if (!packet) return Failed("no memory", AVERROR(ENOMEM));
  while ((code = avcodec_receive_packet(track.codec.get(), packet.get())) >= 0) {
    const auto known = track.durations.find(packet->pts);
    if (known != track.durations.end()) {
      packet->duration = known->second;
      track.durations.erase(known);
    }
    av_packet_rescale_ts(packet.get(), track.codec->time_base, track.stream->time_base);
    packet->stream_index = track.stream->index;
    code = av_interleaved_write_frame(muxer.get(), packet.get());
    if (code < 0) return Failed("writing failed", code);
  }
  return code == AVERROR(EAGAIN) || code == AVERROR_EOF ? Status() : Status(Failed("encoding failed", code));
}

// `count` samples a channel from the front of what is waiting.
Status VideoWriter::State::EncodeSound(int count) {
  const AvPtr<AVFrame> frame(av_frame_alloc());
  if (!frame) return Failed("no memory", AVERROR(ENOMEM));
  frame->nb_samples = count;
  frame->format = samples.codec->sample_fmt;
  frame->sample_rate = sound->sample_rate;
  av_channel_layout_copy(&frame->ch_layout, &samples.codec->ch_layout);
  int code = av_frame_get_buffer(frame.get(), 0);
  if (code < 0) return Failed("no memory", code);
  const int channels = sound->channels;
  std::size_t next = 0;
  for (int i = 0; i < count; ++i)
    for (int ch = 0; ch < channels; ++ch) {
      const float value = std::clamp(waiting[next++], -1.0f, 1.0f);
      if (frame->format == AV_SAMPLE_FMT_FLTP)
        reinterpret_cast<float*>(frame->data[ch])[i] = value;
      else
        reinterpret_cast<std::int16_t*>(frame->data[0])[i * channels + ch] =
            static_cast<std::int16_t>(32767 * value);
    }
  waiting.erase(waiting.begin(), waiting.begin() + static_cast<std::ptrdiff_t>(count) * channels);
  frame->pts = samples_sent;
  samples_sent += count;
  return Encode(samples, frame.get());
}

VideoWriter::VideoWriter(std::unique_ptr<State> state) : state_(std::move(state)) {}
VideoWriter::~VideoWriter() = default;

Result<std::unique_ptr<VideoWriter>> VideoWriter::Create(const std::string& path, const VideoSettings& video,
                                                         const std::optional<SoundSettings>& sound,
                                                         FileSystem& files) {
  if (const std::string fault = FaultOf(video, sound); !fault.empty())
    return Error{ErrorCode::kBadCall, fmt::format("The video {} can't be written: {}.", path, fault)};
  av_log_set_level(
      AV_LOG_QUIET);  // failures come back as values; the libraries would write to standard error
  auto state = std::make_unique<State>();
  state->path = path;
  state->video = video;
  state->sound = sound;
  AFTERSCOPE_ASSIGN(state->output, AvOutput::Create(path, files));
  AFTERSCOPE_TRY(state->Open());
  return std::unique_ptr<VideoWriter>(new VideoWriter(std::move(state)));
}

Status VideoWriter::WritePicture(const Picture& picture, Pts pts, TickSpan duration) {
  State& s = *state_;
  if (s.finished || picture.empty() || picture.width != s.video.width || picture.height != s.video.height ||
      picture.format != s.video.format || (s.last && pts <= *s.last))
    return Error{ErrorCode::kBadCall,
                 fmt::format("The video {} got a picture of another size or kind, or out of order.", s.path)};
  s.last = pts;
  const AvPtr<AVFrame> frame(av_frame_alloc());
  if (!frame) return s.Failed("no memory", AVERROR(ENOMEM));
  frame->width = picture.width;
  frame->height = picture.height;
  frame->format = s.pictures.codec->pix_fmt;
  frame->sample_aspect_ratio = s.pictures.codec->sample_aspect_ratio;
  frame->interlaced_frame = picture.fields != FieldOrder::kProgressive;
  frame->top_field_first = picture.fields == FieldOrder::kTopFirst;
  for (std::size_t i = 0; i < static_cast<std::size_t>(picture.plane_count()); ++i) {
    frame->data[i] = const_cast<std::uint8_t*>(picture.planes[i].data);  // read only: its buffer says so
    frame->linesize[i] = static_cast<int>(picture.planes[i].stride);
  }
  auto* shared = new std::shared_ptr<const void>(picture.owner);
  frame->buf[0] = av_buffer_create(
      frame->data[0], picture.ByteSize(),
      [](void* owner, std::uint8_t*) { delete static_cast<std::shared_ptr<const void>*>(owner); }, shared,
      AV_BUFFER_FLAG_READONLY);
  if (!frame->buf[0]) {
    delete shared;
    return s.Failed("no memory", AVERROR(ENOMEM));
  }
  const AVRational from = Of(s.video.time_base);
  frame->pts = av_rescale_q(pts.ticks, from, s.pictures.codec->time_base);
  s.pictures.durations[frame->pts] = av_rescale_q(duration.ticks, from, s.pictures.codec->time_base);
  return s.Encode(s.pictures, frame.get());
}

Status VideoWriter::WriteSound(std::span<const float> samples) {
  State& s = *state_;
  if (s.finished || !s.sound || samples.size() % static_cast<std::size_t>(s.sound->channels) != 0)
    return Error{ErrorCode::kBadCall,
                 fmt::format("The video {} got sound that it was not opened for.", s.path)};
  s.waiting.insert(s.waiting.end(), samples.begin(), samples.end());
  const int whole = s.samples.codec->frame_size;
  while (s.waiting.size() >= static_cast<std::size_t>(whole) * static_cast<std::size_t>(s.sound->channels))
    AFTERSCOPE_TRY(s.EncodeSound(whole));
  return {};
}

Status VideoWriter::Finish() {
  AFTERSCOPE_TRY(End());
  return state_->output->Keep();
}

Status VideoWriter::FinishIfFree() {
  AFTERSCOPE_TRY(End());
  return state_->output->KeepIfFree();
}

Status VideoWriter::End() {
  State& s = *state_;
  if (s.finished || !s.last)
    return Error{ErrorCode::kBadCall, fmt::format("The video {} has no picture.", s.path)};
  s.finished = true;
  AFTERSCOPE_TRY(s.Encode(s.pictures, nullptr));
  if (s.sound) {
    if (!s.waiting.empty()) {
      const std::size_t whole =
          static_cast<std::size_t>(s.samples.codec->frame_size) * static_cast<std::size_t>(s.sound->channels);
      if (!(s.samples.codec->codec->capabilities & AV_CODEC_CAP_SMALL_LAST_FRAME))
        s.waiting.resize(whole, 0.0f);
      AFTERSCOPE_TRY(s.EncodeSound(static_cast<int>(s.waiting.size()) / s.sound->channels));
    }
    AFTERSCOPE_TRY(s.Encode(s.samples, nullptr));
  }
  return s.Close();
}

}  // namespace afterscope
