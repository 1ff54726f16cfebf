// SPDX-License-Identifier: Apache-2.0
#pragma once

namespace afterscope {

// The one form that the sound of recordings has in this program: interleaved float samples from -1 to 1, left
// before right. A sample's number counts from time zero of some clock, so that sample n is heard at n /
// kSoundRate seconds of it.
constexpr int kSoundRate = 48000;
constexpr int kSoundChannels = 2;

}  // namespace afterscope
