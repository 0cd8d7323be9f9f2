#include <fmt/core.h>
#include <pthread.h>

#include <charconv>
#include <csignal>
#include <thread>

#include "bakewright/base/error.hpp"
#include "bakewright/page/server.hpp"
#include "bakewright/report/json_commands.hpp"
#include "bakewright/shop/files.hpp"
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
    asked.book_path = options.book_path();
    asked.profile_folders = profile_folders(options.texts("profiles"));
    asked.user_profile_folder = user_profile_folder();
    asked.old_profile_folders = old_profile_folders();
    asked.units = options.units();
    asked.program_version = kVersion;
    return asked;
}

/// Ends the server when the user presses Ctrl-C or the system asks. Made before any other thread, so that all of them leave the
/// signals to it.
class StopSignals {
public:
    StopSignals() {
        sigemptyset(&signals_);
        for (const int signal : {SIGINT, SIGTERM, SIGHUP}) sigaddset(&signals_, signal);
        pthread_sigmask(SIG_BLOCK, &signals_, nullptr);
        std::signal(SIGPIPE, SIG_IGN);  // a client that is gone is no reason to end
    }
    void stop_on_signal(page::Server& server) const {
        std::thread([this, &server] {
            int signal = 0;
            sigwait(&signals_, &signal);
            server.stop();
        }).detach();
    }

private:
    sigset_t signals_{};
};

void say_where(const Options& options, const page::Server& server) {
    if (options.json())
        print(report::json_object({{"address", server.address()}, {"port", static_cast<double>(server.port())}}) + "\n");
    else
        fmt::print("The page is at\n  {}\nOpen it in a browser on this computer. Ctrl-C ends it.\n", server.address());
    if (server.is_open_to_network())
        fmt::print(stderr,
                   "bakewright: warning: --host {} lets everyone on the network reach this page, and what goes over it is not "
                   "encrypted; whoever has the address can read and change the book\n",
                   options.text("host"));
    std::fflush(stdout);
}

}  // namespace

int run_serve(const std::vector<std::string>& words) {
    Options options(
        "serve [--port N] [--host ADDRESS]",
        "Serves the local page: prepare a bake, look at bakes, bring in a log, a shell's history, the shop's profiles.\n"
        "It listens on this computer alone, prints the address to open, and runs until Ctrl-C.");
    const auto text = [](const char* name) { return po::value<std::string>()->value_name(name); };
    options.add()("port", text("N"), "port to listen at; default any that is free")(
        "host", text("ADDRESS"), "address to listen at; default 127.0.0.1, which nobody else on the network can reach");
    if (!options.read(words)) return static_cast<int>(ExitStatus::fine);
    const StopSignals signals;
    page::Server server(server_options(options));
    signals.stop_on_signal(server);
    say_where(options, server);
    server.run();
    return static_cast<int>(ExitStatus::fine);
}

}  // namespace bakewright::cli
