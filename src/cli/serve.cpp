// SPDX-License-Identifier: Apache-2.0
#include <fmt/core.h>
#include <poll.h>
#include <sys/eventfd.h>
#include <sys/signalfd.h>
#include <unistd.h>

#include <array>
#include <chrono>
#include <csignal>
#include <future>
#include <thread>

#include "bakewright/base/error.hpp"
#include "bakewright/page/server.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/services/files.hpp"
#include "command.hpp"
#include "options.hpp"
#include "output.hpp"
#include "version.hpp"

namespace bakewright::cli {
namespace {

namespace po = boost::program_options;

int port_of(const Options& options) {
    const double port = options.number("port").value_or(0.0);
    if (port < 0.0 || port > 65535.0 || port != static_cast<int>(port))
        wrong_option("--port", "accepts a whole number from 0 (any that is free) to 65535");
    return static_cast<int>(port);
}

page::ServerOptions server_options(const Options& options) {
    page::ServerOptions asked;
    asked.host = options.text_or("host", asked.host);
    asked.port = port_of(options);
    asked.tls = options.flag("tls");
    asked.certificate_file = options.text_or("certificate", "");
    asked.key_file = options.text_or("key", "");
    asked.book_path = options.book_path();
    asked.profile_folders = services::profile_folders(options.texts("profiles"));
    asked.user_profile_folder = services::user_profile_folder();
    asked.old_profile_folders = services::old_profile_folders();
    asked.units = options.units();
    asked.program_version = kVersion;
    return asked;
}

/// A number of the system's for something that can be waited for.
class Descriptor {
public:
    explicit Descriptor(int number) : number_(number) {
        if (number_ < 0) throw FileError("the system gives nothing to wait with: too many files are open");
    }
    ~Descriptor() { ::close(number_); }
    Descriptor(const Descriptor&) = delete;
    Descriptor& operator=(const Descriptor&) = delete;
    [[nodiscard]] int number() const noexcept { return number_; }

private:
    int number_;
};

/// Ctrl-C, and when the system asks. Made before any other thread, so that all of them leave the signals to it.
class StopSignals {
public:
    StopSignals() : signals_(blocked()), arrived_(::signalfd(-1, &signals_, SFD_CLOEXEC)) {
        std::signal(SIGPIPE, SIG_IGN);  // a client that is gone is no reason to end
        std::signal(SIGTTIN, SIG_IGN);  // nor is a terminal that another program reads from
    }
    [[nodiscard]] int descriptor() const noexcept { return arrived_.number(); }

    /// The one that arrived, so that the next one is another.
    void take() const {
        signalfd_siginfo signal{};
        static_cast<void>(::read(arrived_.number(), &signal, sizeof signal));
    }

    /// From a first signal on: a second one, or two seconds, end the program whatever still goes on. The book and the profiles
    /// are changed whole or not at all, so that nothing of theirs can be lost by it.
    void end_soon() const {
        std::thread([signals = signals_] {
            const timespec most{.tv_sec = 1, .tv_nsec = 800'000'000};
            static_cast<void>(::sigtimedwait(&signals, nullptr, &most));
            std::_Exit(static_cast<int>(ExitStatus::fine));
        }).detach();
    }

private:
    static sigset_t blocked() {
        sigset_t signals{};
        sigemptyset(&signals);
        for (const int signal : {SIGINT, SIGTERM, SIGHUP}) sigaddset(&signals, signal);
        pthread_sigmask(SIG_BLOCK, &signals, nullptr);
        return signals;
    }

    sigset_t signals_;
    Descriptor arrived_;
};

/// The keyboard, where there is one that is ours.
class Keyboard {
public:
    [[nodiscard]] int descriptor() const noexcept { return is_there_ ? STDIN_FILENO : -1; }

    /// Whether Enter was pressed. A program in the background leaves the keys to the one in front.
    [[nodiscard]] bool read_line() {
        if (::tcgetpgrp(STDIN_FILENO) != ::getpgrp()) {
            std::this_thread::sleep_for(std::chrono::milliseconds(200));
            return false;
        }
        std::array<char, 256> typed{};
        const ssize_t count = ::read(STDIN_FILENO, typed.data(), typed.size());
        is_there_ = count > 0;
        return is_there_;
    }

private:
    bool is_there_ = ::isatty(STDIN_FILENO) == 1;
};

void say_address(const Options& options, page::Server& server) {
    const std::string address = server.new_address();
    if (options.json())
        print_json({{"address", address},
                    {"port", server.port()},
                    {"token", server.token()},
                    {"certificate_sha256", server.certificate_fingerprint()}},
                   -1);
    else
        fmt::print(
            "The page is at\n  {}\nOpen it in a browser; it works once, for ten minutes. Enter makes another, Ctrl-C ends the "
            "page.\n",
            address);
    std::fflush(stdout);
}

void say_who(const Options& options, const page::Server& server) {
    if (options.json() || server.certificate_fingerprint().empty()) return;
    fmt::print("The certificate's SHA-256 fingerprint is\n  {}\n", server.certificate_fingerprint());
    if (!options.has("certificate"))
        fmt::print(
            "It was made for this run and nobody vouches for it: go on past the browser's warning only where it shows these "
            "digits.\n");
    if (server.is_open_to_network())
        fmt::print("From another computer, open the address with this computer's name or address in it.\n");
}

/// Serves until a signal, or until the server itself fails.
void serve(const Options& options, const StopSignals& signals, page::Server& server) {
    const Descriptor ended(::eventfd(0, EFD_CLOEXEC));
    std::future<void> running = std::async(std::launch::async, [&server, &ended] {
        const auto tell = [&ended] { static_cast<void>(::eventfd_write(ended.number(), 1)); };
        try {
            server.run();
        } catch (...) {
            tell();
            throw;
        }
        tell();
    });
    Keyboard keyboard;
    for (;;) {
        std::array<pollfd, 3> waited{
            {{signals.descriptor(), POLLIN, 0}, {ended.number(), POLLIN, 0}, {keyboard.descriptor(), POLLIN, 0}}};
        if (::poll(waited.data(), waited.size(), -1) < 0) continue;
        if (waited[1].revents != 0) break;
        if (waited[0].revents != 0) {
            signals.take();
            signals.end_soon();
            break;
        }
        if (waited[2].revents != 0 && keyboard.read_line()) say_address(options, server);
    }
    server.stop();
    running.get();
}

}  // namespace

int run_serve(const std::vector<std::string>& words) {
    Options options(
        "serve [--port N] [--host ADDRESS] [--tls | --certificate FILE --key FILE]",
        "Serves the local page: prepare a bake, look at bakes, bring in a log, a shell's history, the shop's profiles.\n"
        "It listens on this computer alone, prints the address to open, and runs until Ctrl-C. The address works once and for "
        "ten\n"
        "minutes; Enter prints another.");
    const auto text = [](const char* name) { return po::value<std::string>()->value_name(name); };
    options.add()("port", text("N"), "port to listen at; default any that is free")(
        "host", text("ADDRESS"),
        "address to listen at; default 127.0.0.1, which nobody else on the network can reach; any other wants TLS")(
        "tls", "encrypt, with a certificate made for this run unless one is given")(
        "certificate", text("FILE"), "certificate for TLS, PEM, with those that vouch for it after it")(
        "key", text("FILE"), "its private key, PEM, without a pass phrase");
    if (!options.read(words)) return static_cast<int>(ExitStatus::fine);
    const StopSignals signals;
    page::Server server(server_options(options));
    say_who(options, server);
    say_address(options, server);
    serve(options, signals, server);
    return static_cast<int>(ExitStatus::fine);
}

}  // namespace bakewright::cli
