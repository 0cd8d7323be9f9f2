// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "bakewright/base/format.hpp"

namespace bakewright::page {

/// How the page is served: where it listens, what it may reach.
struct ServerOptions {
    std::string host = "127.0.0.1";                  ///< address or name to listen at; anything but loopback asks for TLS
    int port = 0;                                    ///< 0: any that is free, up to 65535
    bool tls = false;                                ///< with a certificate made for this run, where none is given
    std::string certificate_file{};                  ///< PEM, with key_file: TLS with it
    std::string key_file{};                          ///< PEM, without a pass phrase
    std::string book_path{};                         ///< made with the first change where there is none
    std::vector<std::string> profile_folders{};      ///< as profile::Library takes them
    std::string user_profile_folder{};               ///< where edited profiles are saved; empty: nowhere
    std::vector<std::string> old_profile_folders{};  ///< the shop's own too, from before; read only
    Units units{};                                   ///< that the page starts with
    std::string program_version{};
    std::size_t largest_upload_bytes = std::size_t{64} << 20;  ///< of a log; any other request may have a mebibyte
    int time_for_header_s = 5;                                 ///< 1 to 3600, from its first byte to its last
};

}  // namespace bakewright::page
