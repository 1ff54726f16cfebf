// SPDX-License-Identifier: Apache-2.0
// Drops files on a window as a file manager does: the source's side of the XDND protocol, version 5
// (freedesktop.org, "Drag-and-Drop Protocol for the X Window System"). For tests of the window only.
// Usage: drop_files WINDOW X Y FILE...
#include <X11/Xatom.h>
#include <X11/Xlib.h>

#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <string>
#include <thread>

namespace {

constexpr long kVersion = 5;
constexpr auto kPatience = std::chrono::seconds(30);

struct Names {
  explicit Names(Display* display)
      : selection(XInternAtom(display, "XdndSelection", False)),
        aware(XInternAtom(display, "XdndAware", False)),
        enter(XInternAtom(display, "XdndEnter", False)),
        position(XInternAtom(display, "XdndPosition", False)),
        status(XInternAtom(display, "XdndStatus", False)),
        drop(XInternAtom(display, "XdndDrop", False)),
        finished(XInternAtom(display, "XdndFinished", False)),
        copy(XInternAtom(display, "XdndActionCopy", False)),
        uris(XInternAtom(display, "text/uri-list", False)) {}
  Atom selection, aware, enter, position, status, drop, finished, copy, uris;
};

struct Source {
  Display* display;
  Names names;
  Window self;
  Window target;
  std::string uris;

  void Send(Atom type, long a, long b, long c, long d) const {
    XClientMessageEvent message{};
    message.type = ClientMessage;
    message.display = display;
    message.window = target;
    message.message_type = type;
    message.format = 32;
    message.data.l[0] = static_cast<long>(self);
    message.data.l[1] = a;
    message.data.l[2] = b;
    message.data.l[3] = c;
    message.data.l[4] = d;
    XSendEvent(display, target, False, NoEventMask, reinterpret_cast<XEvent*>(&message));
    XFlush(display);
  }

  // Hands the list of files over to whoever asks for the selection.
  void Serve(const XSelectionRequestEvent& request) const {
    if (request.target == names.uris)
      XChangeProperty(display, request.requestor, request.property, names.uris, 8, PropModeReplace,
                      reinterpret_cast<const unsigned char*>(uris.data()), static_cast<int>(uris.size()));
    XSelectionEvent answer{};
    answer.type = SelectionNotify;
    answer.requestor = request.requestor;
    answer.selection = request.selection;
    answer.target = request.target;
    answer.property = request.target == names.uris ? request.property : None;
    answer.time = request.time;
    XSendEvent(display, request.requestor, False, NoEventMask, reinterpret_cast<XEvent*>(&answer));
    XFlush(display);
  }

  // Serves the selection until a message of that type comes; false if none comes.
  bool WaitFor(Atom type, XClientMessageEvent& message) const {
    const auto until = std::chrono::steady_clock::now() + kPatience;
    while (std::chrono::steady_clock::now() < until) {
      if (XPending(display) == 0) {
        std::this_thread::sleep_for(std::chrono::milliseconds(20));
        continue;
      }
      XEvent event;
      XNextEvent(display, &event);
      if (event.type == SelectionRequest) Serve(event.xselectionrequest);
      if (event.type != ClientMessage || event.xclient.message_type != type) continue;
      message = event.xclient;
      return true;
    }
    return false;
  }
};

int Fail(const char* why) {
  std::fprintf(stderr, "drop_files: %s\n", why);
  return 1;
}

}  // namespace

int main(int argc, char** argv) {
  if (argc < 5) return Fail("usage: drop_files WINDOW X Y FILE...");
  Display* display = XOpenDisplay(nullptr);
  if (display == nullptr) return Fail("there is no display");
  const long x = std::strtol(argv[2], nullptr, 10);
  const long y = std::strtol(argv[3], nullptr, 10);
  Source source{display,
                Names(display),
                XCreateSimpleWindow(display, DefaultRootWindow(display), 0, 0, 1, 1, 0, 0, 0),
                std::strtoul(argv[1], nullptr, 10),
                {}};
  for (int i = 4; i < argc; ++i) {
    std::string uri = "file://";
    for (const char letter : std::filesystem::absolute(argv[i]).string())
      uri += letter == ' ' ? std::string("%20") : std::string(1, letter);
    source.uris += uri + "\r\n";
  }
  XSetSelectionOwner(display, source.names.selection, source.self, CurrentTime);
  source.Send(source.names.enter, kVersion << 24, static_cast<long>(source.names.uris), 0, 0);
  source.Send(source.names.position, 0, (x << 16) | y, CurrentTime, static_cast<long>(source.names.copy));
  XClientMessageEvent message{};
  if (!source.WaitFor(source.names.status, message)) return Fail("the window did not answer");
  if ((message.data.l[1] & 1) == 0) return Fail("the window does not want the files");
  source.Send(source.names.drop, 0, CurrentTime, 0, 0);
  if (!source.WaitFor(source.names.finished, message)) return Fail("the window did not take the files");
  XCloseDisplay(display);
  return 0;
}
